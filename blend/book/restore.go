package book

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"tawny/blend/store"
)

// fault is called before every step of a restore that changes the disk; tests
// make it fail or end the process there.
var fault = func(step string) error { return nil }

// Restore puts the backup in the place of the book at path, which nobody may
// have open (ErrBusy). The backup is read through first. What was at path,
// sound or damaged, is kept beside it: keptAs is its new name, empty where
// there was nothing. There is a book at path at every moment: the old one gets
// a second name, and then the new one takes the first in one step.
func Restore(ctx context.Context, backup, path string) (keptAs string, err error) {
	if path, err = filepath.Abs(path); err != nil {
		return "", err
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	if backup, err = filepath.Abs(backup); err != nil {
		return "", err
	}
	release, ok, err := store.Hold(path, true)
	if err != nil {
		return "", fmt.Errorf("it cannot be known whether %s is open elsewhere, so nothing was restored: %w", path, err)
	}
	if !ok {
		return "", fmt.Errorf("%s: %w: close it there, the page too, and restore again; nothing was changed", path, ErrBusy)
	}
	defer release()
	if from, err := os.Stat(backup); err == nil {
		if to, err := os.Stat(path); err == nil && os.SameFile(from, to) {
			return "", &FieldError{Where: backup, Problem: "it is the book itself; name a backup of it. Nothing was changed"}
		}
		if !from.Mode().IsRegular() {
			return "", &FieldError{Where: backup, Problem: "it is not a file; name a backup. Nothing was changed"}
		}
	}
	if err := sound(ctx, backup); err != nil {
		return "", unfit(ctx, err, path)
	}
	if keptAs, err = restore(ctx, backup, path); err != nil {
		return keptAs, fmt.Errorf("the backup cannot be restored: %w", err)
	}
	return keptAs, nil
}

// unfit is the error of a backup that is not to be restored to path.
func unfit(ctx context.Context, err error, path string) error {
	if e, ok := errors.AsType[*fileError](err); ok {
		e.advice = "Name another backup"
		if newest := NewestBackup(ctx, path); newest != "" && newest != e.path {
			e.advice += ", such as '" + newest + "'"
		}
	}
	return fmt.Errorf("the backup will not do: %w", err)
}

// ready brings a copy of a backup to the present schema, refuses one whose schema is
// not the book's own, and notes in it what forgetting a client of it is to name: the
// backup itself, and the files that the book it is put in place of knows of.
func ready(ctx context.Context, copied, backup, path string) (err error) {
	b := &Book{path: backup, db: open(copied, "rw")}
	defer func() { err = errors.Join(err, b.Close()) }()
	if err := b.migrate(ctx); err != nil {
		return unfit(ctx, err, path)
	}
	n := readNoted(ctx, path)
	return b.updateLocked(ctx, "", func(tx *sql.Tx) error {
		c := checker{ctx: ctx, tx: tx, path: backup}
		if err := c.schema(); err != nil {
			return err
		}
		for _, f := range c.found {
			if f.Serious {
				return unfit(ctx, damaged(backup, f.Field+": "+f.Says), path)
			}
		}
		for _, name := range append(n.copies, backup) {
			if _, err := tx.ExecContext(ctx, "INSERT OR IGNORE INTO copy (path) VALUES (?)", name); err != nil {
				return err
			}
		}
		for _, f := range n.made {
			_, err := tx.ExecContext(ctx, `INSERT INTO file (client_id, blend_id, batch_id, path, recorded_at)
				SELECT (SELECT id FROM client WHERE id = ?1) AS c, (SELECT id FROM blend WHERE id = ?2) AS b, (SELECT id FROM batch WHERE id = ?3) AS m, ?4, ?5
				WHERE (c > 0 OR b > 0 OR m > 0) AND NOT EXISTS (SELECT 1 FROM file WHERE path = ?4)`,
				f.ClientID, f.BlendID, f.BatchID, f.Path, f.RecordedAt.UTC().Format(time.RFC3339))
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// readNoted are the files that the book at path tells of, as far as it can be read.
func readNoted(ctx context.Context, path string) (n noted) {
	if _, err := glance(ctx, path, "ro", glanceTime); err != nil {
		return n
	}
	b := &Book{path: path, db: open(path, "ro")}
	defer b.db.Close()
	n, _ = viewed(ctx, b, func(tx *sql.Tx) (noted, error) { return notedFiles(ctx, tx) })
	return n
}

func restore(ctx context.Context, backup, path string) (keptAs string, err error) {
	if err := fault("copy"); err != nil {
		return "", err
	}
	err = store.Beside(path, func(temp string) error {
		mode := os.FileMode(0o600)
		if old, err := os.Stat(path); err == nil {
			mode = old.Mode().Perm()
		}
		if err := os.WriteFile(temp, nil, mode); err != nil {
			return err
		}
		// By SQLite and not byte by byte, so that a backup someone has opened
		// since, and which has a log, comes whole.
		from := &Book{path: backup, db: open(backup, "ro")}
		_, err := from.db.ExecContext(ctx, "VACUUM INTO ?", temp)
		if err = errors.Join(from.uncopied(err, path), from.db.Close()); err == nil {
			err = ready(ctx, temp, backup, path)
		}
		if err = errors.Join(err, os.Chmod(temp, mode)); err != nil {
			return err
		}
		if err := store.SyncFile(temp); err != nil {
			return err
		}
		if keptAs, err = keep(ctx, path); err != nil {
			return err
		}
		if err := fault("rename"); err != nil {
			return err
		}
		if err := os.Rename(temp, path); err != nil {
			return err
		}
		store.SyncFolder(filepath.Dir(path))
		return fault("done")
	})
	return keptAs, err
}

// keep gives the book at path a second name. Its log, which would be taken for
// the new book's, is folded into it first, which SQLite lets nobody do to a book that
// another has open, whatever account it holds it under; that of one too damaged for it
// is kept with it.
func keep(ctx context.Context, path string) (keptAs string, err error) {
	if err := fault("fold"); err != nil {
		return "", err
	}
	if _, err := glance(ctx, path, "ro", glanceTime); err == nil {
		old := &Book{path: path, db: open(path, "rw")}
		old.db.SetMaxOpenConns(1)
		_, err := old.db.ExecContext(ctx, "PRAGMA busy_timeout = 500; PRAGMA journal_mode = delete")
		if err := errors.Join(old.explain(err, ""), old.db.Close()); err != nil && !errors.Is(err, ErrDamaged) {
			return "", err
		}
	}
	stamp := path + keptSuffix + time.Now().Format("20060102-150405")
	keptAs = stamp
	for n := 2; taken(keptAs); n++ {
		keptAs = fmt.Sprintf("%s-%d", stamp, n)
	}
	kept := false
	for _, suffix := range []string{"", "-wal"} {
		if err := fault("keep" + suffix); err != nil {
			return "", err
		}
		err := secondName(path+suffix, keptAs+suffix)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
		kept = kept || err == nil
	}
	store.SyncFolder(filepath.Dir(path))
	for _, suffix := range []string{"-wal", "-shm"} {
		if err := fault("clear" + suffix); err != nil {
			return keptAs, err
		}
		if err := os.Remove(path + suffix); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return keptAs, err
		}
	}
	store.SyncFolder(filepath.Dir(path)) // no log on the disk that would be taken for the new one's
	if !kept {
		return "", nil
	}
	return keptAs, nil
}

// putAside are the books that restores kept beside the one at path, and what
// programs that were ended left of copies there and among the backups.
func putAside(path string) (files []string) {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	files, _ = filepath.Glob(globbed.Replace(path+keptSuffix) + "*") // what cannot be read is not named
	return slices.Concat(files, unfinished(filepath.Dir(path)), unfinished(BackupFolder(path)))
}

// unfinished is what programs that were ended left of files in a folder.
func unfinished(dir string) (files []string) {
	files, _ = filepath.Glob(globbed.Replace(dir) + string(filepath.Separator) + store.Unfinished + "*")
	return files
}

// globbed takes the meaning from the signs of a pattern.
var globbed = strings.NewReplacer(`*`, `[*]`, `?`, `[?]`, `[`, `[[]`)

// keptSuffix comes before the time in the name of a book put aside.
const keptSuffix = ".kept-"

// taken reports whether a book or its log has the name.
func taken(name string) bool {
	_, err := os.Lstat(name)
	_, logErr := os.Lstat(name + "-wal")
	return err == nil || logErr == nil
}

// secondName gives a file another name as well. Where the file system has no
// links, such as a memory card's, it is a copy.
func secondName(old, name string) (err error) {
	if err := os.Link(old, name); err == nil || errors.Is(err, fs.ErrNotExist) {
		return err
	}
	from, err := os.Open(old)
	if err != nil {
		return err
	}
	defer from.Close()
	to, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(to, from)
	return errors.Join(err, to.Sync(), to.Close())
}
