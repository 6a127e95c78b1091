package book

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// The reasons a book is not opened or not written, for errors.Is. The error
// that wraps one names the file and says what to do.
var (
	ErrNotABook = errors.New("this file is not a tawny book")
	ErrDamaged  = errors.New("the book is damaged")
	ErrNewer    = errors.New("the book was written by a newer tawny")
	ErrBusy     = errors.New("the book is in use by another program")
	ErrNotFound = errors.New("not in the book")
	ErrNotEmpty = errors.New("the book is not empty")
	ErrReadOnly = errors.New("the book cannot be written")
	ErrReplaced = errors.New("the book's file was replaced")
	ErrInUse    = errors.New("other records stand on it")
	ErrWeighed  = errors.New("it was weighed")
	ErrTaken    = errors.New("is there already; name a new file or folder")
	ErrTraces   = errors.New("the client is forgotten, but traces are still in the file")
)

// FieldError is a value that a record cannot hold.
type FieldError struct {
	Where   string // which record, e.g. "reading 12" or "reading.csv:9"
	Field   string // the column, e.g. "taken_on"
	Problem string // what is wrong and what would be accepted
}

func (e *FieldError) Error() string {
	if e.Field == "" {
		return e.Where + ": " + e.Problem
	}
	return fmt.Sprintf("%s: %s: %s", e.Where, e.Field, e.Problem)
}

// fileError is a file that is no sound book, and how to go on.
type fileError struct {
	path   string
	kind   error
	what   string
	advice string
}

func (e *fileError) Error() string {
	return fmt.Sprintf("%s: %v (%s). Nothing in it was changed. %s", e.path, e.kind, e.what, e.advice)
}

func (e *fileError) Unwrap() error { return e.kind }

// damaged is the error for a file SQLite cannot make sense of. It tells how to
// go on without losing what may still be saved.
func damaged(path, what string) error {
	return &fileError{path, ErrDamaged, what, toRestore(path) + ". " +
		"The damaged file is kept beside it under another name, so that nothing that might be saved from it is lost"}
}

// toRestore tells how to go on with a backup.
func toRestore(path string) string {
	how := "To go on, restore a backup of your own; there is no automatic one"
	if newest := NewestBackup(context.Background(), path); newest != "" {
		how = "To go on, restore the newest good backup: tawny book restore '" + newest + "'"
	}
	return how
}

// uncopied is the error of a copy of the book that was to be written to path.
func (b *Book) uncopied(err error, path string) error {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return err
	}
	switch e.Code() {
	case sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR_WRITE, sqlite3.SQLITE_IOERR_FSYNC, sqlite3.SQLITE_IOERR_TRUNCATE:
		return fmt.Errorf("%s: the disk it would be on is full or gave an error (%s)", path, e)
	}
	return b.explain(err, "")
}

// code is the SQLite result code of err, without its extension; 0 when err did
// not come from SQLite.
func code(err error) int {
	var e *sqlite.Error
	if errors.As(err, &e) {
		return e.Code() & 0xff
	}
	return 0
}

// explain puts SQLite's errors into the maker's words. where names the record
// being written, or is empty.
func (b *Book) explain(err error, where string) error {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return err
	}
	switch e.Code() & 0xff {
	case sqlite3.SQLITE_ERROR:
		// What tawny asks for is in every book: where it is not, the schema is damaged.
		if said := e.Error(); strings.Contains(said, "unsupported file format") || strings.Contains(said, "no such column") || strings.Contains(said, "no such table") {
			return damaged(b.path, "SQLite says: "+e.Error())
		}
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return fmt.Errorf("%s: %w: waited %g s. Close the other one, or try again",
			b.path, ErrBusy, busyWait.Seconds())
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		return damaged(b.path, "SQLite says: "+e.Error())
	case sqlite3.SQLITE_FULL:
		return fmt.Errorf("%s: %w: the disk is full; nothing of this change was written", b.path, ErrReadOnly)
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM, sqlite3.SQLITE_CANTOPEN:
		return fmt.Errorf("%s: %w: check that the file and its folder are yours to write; nothing of this change was written (%s)", b.path, ErrReadOnly, e)
	case sqlite3.SQLITE_IOERR:
		return fmt.Errorf("%s: %w: the disk is full or gave an error; nothing of this change was written (%s)", b.path, ErrReadOnly, e)
	case sqlite3.SQLITE_CONSTRAINT:
		return constraint(e, where)
	}
	return fmt.Errorf("%s: %w", b.path, err)
}

// constraint words a broken rule of the schema, such as a name used twice.
func constraint(e *sqlite.Error, where string) error {
	if where == "" {
		where = "the record"
	}
	_, columns, _ := strings.Cut(e.Error(), "constraint failed: ")
	columns, _, _ = strings.Cut(columns, " (")
	fields := strings.Split(columns, ", ")
	for i, f := range fields {
		_, fields[i], _ = strings.Cut(f, ".")
	}
	field := strings.Join(fields, " and ")
	switch e.Code() {
	case sqlite3.SQLITE_CONSTRAINT_UNIQUE, sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY, sqlite3.SQLITE_CONSTRAINT_ROWID:
		return &FieldError{where, field, "already used by another record; each must have its own"}
	case sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY:
		return fmt.Errorf("%s: %w", where, ErrInUse)
	}
	return fmt.Errorf("%s: the book does not take it (%s)", where, e)
}
