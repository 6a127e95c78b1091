package book

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	_ "modernc.org/sqlite" // the "sqlite" driver, pure Go

	"tawny/blend/store"
)

// busyWait is how long one program waits for another to finish a write. Our
// own choice: far longer than any write takes, short enough to sit through.
const busyWait = 10 * time.Second

// glanceTime is how long Open looks a file over for damage. A book too big to
// read in that time is opened all the same; Check reads the whole of it.
const glanceTime = time.Second

// Book is one open record. Its methods may be called from several goroutines.
type Book struct {
	path  string
	db    *sql.DB
	write sync.Mutex // held by the goroutine that writes, so that ours queue in order

	file   fs.FileInfo // the file as opened, by which another in its place is known
	cannot error       // why nothing can be written, where the book is only read

	backedUp string // the day the automatic backup was last seen to
	release  func() // ends the hold that keeps a restore away

	warnings sync.Mutex
	untold   error // what Warning is to tell

	// Inside Together only.
	tx     *sql.Tx
	failed error // the first write that did not succeed
}

// DefaultPath is where the book is kept: the file named by the environment
// variable TAWNY_BOOK, or tawny/book.db in the user's configuration folder.
func DefaultPath() (string, error) {
	if p := os.Getenv("TAWNY_BOOK"); p != "" {
		return p, nil
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("no folder for the book: %w; name one in TAWNY_BOOK", err)
	}
	return filepath.Join(dir, "tawny", "book.db"), nil
}

// Open opens the book at path, making a new one where there is no file. A file
// that is not a book, is damaged, or was written by a newer tawny is reported
// (ErrNotABook, ErrDamaged, ErrNewer) and left as it was.
func Open(ctx context.Context, path string) (*Book, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		err := create(ctx, path, func(*Book) error { return nil })
		if err != nil && !errors.Is(err, fs.ErrExist) {
			return nil, err
		}
	case err != nil:
		return nil, fmt.Errorf("the book cannot be opened: %w", err)
	case info.IsDir():
		return nil, fmt.Errorf("%s: %w: it is a folder", path, ErrNotABook)
	case info.Size() == 0:
		return nil, damaged(path, "the file is empty")
	}

	b := &Book{path: path}
	if b.release, err = hold(ctx, path); err != nil {
		return nil, err
	}
	if err := b.open(ctx); err != nil {
		b.release()
		return nil, err
	}
	return b, nil
}

// open opens a file that is there and brings it to the present schema.
func (b *Book) open(ctx context.Context) (err error) {
	if b.file, err = os.Stat(b.path); err != nil {
		return fmt.Errorf("the book cannot be opened: %w", err)
	}
	version, err := glance(ctx, b.path, "ro", glanceTime)
	if errors.Is(err, ErrReadOnly) {
		return b.openToRead(ctx, err)
	}
	if err != nil {
		return err
	}
	b.db = open(b.path, "rw")
	if version < len(migrations) {
		err = b.backUp(ctx, fmt.Sprintf("%s-schema-%d.db", today(), version))
		if err == nil {
			err = b.migrate(ctx)
		}
	}
	if err == nil {
		err = b.finishChores(ctx)
	}
	if err == nil {
		return nil
	}
	b.db.Close()
	if errors.Is(err, ErrReadOnly) {
		// Looked over without writing, but not kept as tawny keeps one: a copy
		// made by a backup, say, on a disk that is full.
		return b.openToRead(ctx, err)
	}
	return err
}

// openToRead opens a book whose folder or disk takes nothing, not even what
// SQLite keeps beside an open file. why is what was met.
func (b *Book) openToRead(ctx context.Context, why error) error {
	if log, err := os.Stat(b.path + "-wal"); err == nil && log.Size() > 0 {
		return fmt.Errorf("%w. Its log %s-wal holds what is not yet in the file, so it cannot be read here either: "+
			"make room, or copy both to where they can be written", why, b.path)
	}
	version, err := glance(ctx, b.path, "immutable", glanceTime)
	if err != nil {
		return err
	}
	if version < len(migrations) {
		return fmt.Errorf("%w. It is an older tawny's and must be brought up to date before it is read: "+
			"make room, or copy it to where it can be written", why)
	}
	b.db, b.cannot = open(b.path, "immutable"), why
	return nil
}

// hold says that the book at path is open, and waits while a backup is being
// put in its place. Where there is nowhere to say so, it is opened all the
// same.
func hold(ctx context.Context, path string) (release func(), err error) {
	for started := time.Now(); ; {
		release, ok, err := store.Hold(path, false)
		switch {
		case err != nil:
			return func() {}, nil
		case ok:
			return release, nil
		case time.Since(started) > busyWait:
			return nil, fmt.Errorf("%s: %w: a backup is being put in its place", path, ErrBusy)
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// Path is the file the book is kept in.
func (b *Book) Path() string { return b.path }

// Close folds the write-ahead log into the book's one file and closes it. The
// log stays, complete, where another program still has the book open.
func (b *Book) Close() error {
	b.write.Lock()
	defer b.write.Unlock()
	var err error
	if b.cannot == nil {
		_, err = b.checkpoint(context.Background())
	}
	if err = b.explain(err, ""); errors.Is(err, ErrReadOnly) {
		err = nil // nothing of ours is in the log
	}
	err = errors.Join(err, b.db.Close())
	if b.release != nil {
		b.release()
		b.release = nil
	}
	return err
}

// checkpoint moves the write-ahead log into the file and empties the log. It
// reports whether another program's reading kept it from doing so.
func (b *Book) checkpoint(ctx context.Context) (busy bool, err error) {
	var log, moved int
	err = b.db.QueryRowContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &log, &moved)
	return busy, err
}

// open returns a handle on the SQLite file at path; nothing is touched until
// it is used. mode is SQLite's ro or rw, neither of which makes a file, or
// immutable: ro with nothing kept beside it, for a file that nobody writes.
func open(path, mode string) *sql.DB {
	q := url.Values{"_dqs": {"0"}, "_defensive": {"1"}, "_error_rc": {"1"}}
	q.Set("_txlock", "immediate")
	q.Set("mode", mode)
	if mode == "immutable" {
		q.Set("mode", "ro")
		q.Set("immutable", "1")
	}
	q["_pragma"] = []string{
		fmt.Sprintf("busy_timeout(%d)", busyWait.Milliseconds()),
		"foreign_keys(1)",
		"trusted_schema(0)",
		"cell_size_check(1)",
	}
	if mode == "rw" {
		q["_pragma"] = append(q["_pragma"],
			"journal_mode(wal)",
			"synchronous(full)", // sync on every commit, not only at checkpoints
			"secure_delete(1)",  // what is deleted is overwritten with zeros
		)
	}
	db, err := sql.Open("sqlite", fileURI(path)+"?"+q.Encode())
	if err != nil { // only a driver that was never registered
		panic(err)
	}
	db.SetMaxOpenConns(4)
	return db
}

// fileURI is path as SQLite wants it in a name with parameters.
func fileURI(path string) string {
	p := filepath.ToSlash(path)
	if !strings.HasPrefix(p, "/") {
		p = "/" + p // C:/book.db
	}
	return (&url.URL{Scheme: "file", Path: p}).String()
}

// update runs change in one write transaction. When it returns nil the change
// is on the disk; otherwise nothing of it is. where names the record for
// errors.
func (b *Book) update(ctx context.Context, where string, change func(*sql.Tx) error) error {
	if b.tx != nil {
		err := b.explain(change(b.tx), where)
		b.failed = cmp.Or(b.failed, err)
		return err
	}
	b.write.Lock()
	defer b.write.Unlock()
	if b.cannot == nil {
		b.backUpToday(ctx)
	}
	return b.updateLocked(ctx, where, change)
}

func (b *Book) updateLocked(ctx context.Context, where string, change func(*sql.Tx) error) error {
	if b.cannot != nil {
		return b.cannot
	}
	tx, err := b.db.BeginTx(ctx, nil) // BEGIN IMMEDIATE, by _txlock
	if err != nil {
		return b.explain(err, where)
	}
	defer tx.Rollback() // of no effect once committed
	if err := b.sameFile(); err != nil {
		return err
	}
	if err := b.sameVersion(ctx, tx); err != nil {
		return err
	}
	if err := change(tx); err != nil {
		return b.explain(err, where)
	}
	return b.explain(tx.Commit(), where)
}

// Together runs do in one transaction: all that it writes through the book it
// is given is kept, or, where it or one of its writes fails, nothing is. Other
// writers wait meanwhile, so do must be quick and use no other book.
func (b *Book) Together(ctx context.Context, do func(*Book) error) error {
	return b.update(ctx, "", func(tx *sql.Tx) error {
		inner := &Book{path: b.path, db: b.db, tx: tx}
		if err := do(inner); err != nil {
			return err
		}
		return inner.failed
	})
}

// sameFile refuses to write where another file has been put in the book's
// place since it was opened: what is written would go to the one put aside.
func (b *Book) sameFile() error {
	if b.file == nil {
		return nil
	}
	if now, err := os.Stat(b.path); err != nil || !os.SameFile(b.file, now) {
		return fmt.Errorf("%s: %w while it was open here; nothing was written. Close this and open the book again", b.path, ErrReplaced)
	}
	return nil
}

// sameVersion refuses to write where a newer tawny has changed the schema
// since this program opened the book.
func (b *Book) sameVersion(ctx context.Context, tx *sql.Tx) error {
	var v int
	if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&v); err != nil {
		return b.explain(err, "")
	}
	if v != len(migrations) {
		return newer(b.path, v)
	}
	return nil
}

// readOnly begins without the write lock.
var readOnly = &sql.TxOptions{ReadOnly: true}

// view runs look on one unchanging state of the book.
func (b *Book) view(ctx context.Context, look func(*sql.Tx) error) error {
	if b.tx != nil {
		return b.explain(look(b.tx), "")
	}
	tx, err := b.db.BeginTx(ctx, readOnly)
	if err != nil {
		return b.explain(err, "")
	}
	defer tx.Rollback()
	return b.explain(look(tx), "")
}
