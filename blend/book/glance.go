package book

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"time"

	sqlite3 "modernc.org/sqlite/lib"
)

// glance looks a file over, read-only, before it is opened to be written: that
// it is a book, of a schema this program knows, and without damage as far as
// can be seen in that time. It returns the schema's version. The file is read
// through SQLite alone: opening it beside SQLite and closing it again would
// drop the locks this process holds on it (POSIX record locks).
func glance(ctx context.Context, path, mode string, atMost time.Duration) (version int, err error) {
	return inspect(ctx, path, mode, "quick_check", atMost)
}

// sound reads the whole of a book that nobody else has open.
func sound(ctx context.Context, path string) error {
	if info, err := os.Stat(path); err != nil {
		return err
	} else if info.Size() == 0 {
		return damaged(path, "the file is empty")
	}
	_, err := inspect(ctx, path, "ro", "integrity_check", forever)
	return err
}

const forever = time.Duration(math.MaxInt64)

func inspect(ctx context.Context, path, mode, check string, atMost time.Duration) (version int, err error) {
	db := open(path, mode)
	defer db.Close()
	var id int64
	err = db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id)
	if err == nil {
		err = db.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version)
	}
	switch {
	case code(err) == sqlite3.SQLITE_NOTADB:
		return 0, notABook(path, "it is not an SQLite file, or its first page is damaged")
	case err != nil:
		return 0, (&Book{path: path}).explain(err, "")
	case id != applicationID:
		return 0, notABook(path, "it is an SQLite file of some other program")
	case version < 0:
		return 0, damaged(path, fmt.Sprintf("its schema is said to be %d", version))
	case version > len(migrations):
		return 0, newer(path, version)
	}

	short, cancel := context.WithTimeout(ctx, atMost)
	defer cancel()
	var found string
	err = db.QueryRowContext(short, "PRAGMA "+check+"(1)").Scan(&found)
	switch {
	case err == nil && found != "ok":
		return 0, damaged(path, strings.TrimPrefix(found, "*** in database main ***\n"))
	case err != nil && !(errors.Is(err, context.DeadlineExceeded) && ctx.Err() == nil):
		return 0, (&Book{path: path}).explain(err, "")
	}
	return version, nil
}

func notABook(path, why string) error {
	return &fileError{path, ErrNotABook, why, "Where it never was one, name another file. " + toRestore(path)}
}
