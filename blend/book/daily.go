package book

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"time"
)

// keptDays is how many automatic backups are kept. Our own choice: a working
// week and the weekend of days on which something was written.
const keptDays = 7

// BackupFolder is where the automatic backups of the book at path are kept:
// one of each day on which the book was written to, made before the first
// write of that day, and one from before each change of the schema.
func BackupFolder(path string) string {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	return path + "-backups"
}

// backupName is what an automatic backup is called: its day, and the schema
// where it was made before a change of that.
var backupName = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}(-schema-\d+)?\.db$`)

// backups are the automatic backups of the book at path, oldest first. A day that is
// still to come is of a clock that was wrong, and counts as the oldest.
func backups(path string) (files []string) {
	list, _ := os.ReadDir(BackupFolder(path)) // none where there is no folder
	for _, e := range list {
		if backupName.MatchString(e.Name()) {
			files = append(files, filepath.Join(BackupFolder(path), e.Name()))
		}
	}
	slices.SortStableFunc(files, func(a, b string) int { return cmp.Compare(daysPast(a), daysPast(b)) })
	return files
}

// daysPast is the day of a backup, empty where that is still to come.
func daysPast(file string) string {
	if day := filepath.Base(file)[:len(time.DateOnly)]; day <= today() {
		return day
	}
	return ""
}

// NewestBackup is the newest automatic backup of the book at path that reads
// back whole, empty where there is none.
func NewestBackup(ctx context.Context, path string) string {
	for _, file := range slices.Backward(backups(path)) {
		if sound(ctx, file) == nil {
			return file
		}
	}
	return ""
}

// backUp makes the automatic backup of this name, unless it is there, and lets
// the oldest go.
func (b *Book) backUp(ctx context.Context, name string) error {
	file := filepath.Join(BackupFolder(b.path), name)
	if _, err := os.Lstat(file); err == nil {
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return fmt.Errorf("the automatic backup cannot be written: %w", err)
	}
	if err := b.copyTo(ctx, file); err != nil {
		if errors.Is(err, ErrTaken) {
			return nil // another program's, made of the same book in the meantime
		}
		return err
	}
	old := slices.DeleteFunc(backups(b.path), func(f string) bool { return f == file })
	for _, f := range old[:max(0, len(old)+1-keptDays)] {
		os.Remove(f) // what cannot be removed now is the next time
	}
	return nil
}

// backUpToday makes the day's backup before the first write of it. A write goes
// on without, and Warning tells of it: it may be what is being saved from a
// failing disk.
func (b *Book) backUpToday(ctx context.Context) {
	day := today()
	if b.release == nil || b.backedUp == day {
		return
	}
	b.backedUp = day
	err := b.view(ctx, func(tx *sql.Tx) error { return emptyBook(ctx, tx) })
	if !errors.Is(err, ErrNotEmpty) { // an empty one needs none
		return
	}
	if err := b.backUp(ctx, day+".db"); err != nil {
		b.warn(fmt.Errorf("the book goes on without its automatic backup of today: %w", err))
	}
}

func (b *Book) warn(err error) {
	b.warnings.Lock()
	defer b.warnings.Unlock()
	b.untold = errors.Join(b.untold, err)
}

// Warning tells, once, what went wrong beside what was done, such as today's
// automatic backup; nil where nothing did.
func (b *Book) Warning() error {
	b.warnings.Lock()
	defer b.warnings.Unlock()
	err := b.untold
	b.untold = nil
	return err
}

// backUpAnew replaces the automatic backups by one of the book as it is now.
func (b *Book) backUpAnew(ctx context.Context) error {
	if b.release == nil {
		return nil
	}
	for _, f := range backups(b.path) {
		// A log is there where one was opened and its program killed.
		for _, suffix := range []string{"-wal", "-shm", ""} {
			if err := os.Remove(f + suffix); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
		}
	}
	return b.backUp(ctx, today()+".db")
}
