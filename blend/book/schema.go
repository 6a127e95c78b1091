package book

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"

	sqlite3 "modernc.org/sqlite/lib"
)

// applicationID marks a book in the SQLite header, offset 68: "Tawn".
const applicationID = 0x5461776e

//go:embed migrations/*.sql
var migrationFiles embed.FS

// migrations are the steps from an empty file to the present schema, in order.
// A book's user_version, offset 60 of the header, is how many it has had. A
// step is never edited once released; a change is a further step.
var migrations = readMigrations()

func readMigrations() []string {
	const dir = "migrations"
	files, err := migrationFiles.ReadDir(dir) // by name
	var steps []string
	for _, f := range files {
		text, failed := migrationFiles.ReadFile(dir + "/" + f.Name())
		err = errors.Join(err, failed)
		steps = append(steps, string(text))
	}
	if err != nil {
		panic(err) // embedded at build time
	}
	return steps
}

// migrate brings the book to the present schema in one transaction: all steps
// or none. Another program may have done so in the meantime.
func (b *Book) migrate(ctx context.Context) error {
	tx, err := b.db.BeginTx(ctx, nil)
	if err != nil {
		return b.explain(err, "")
	}
	defer tx.Rollback()
	var have int
	if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&have); err != nil {
		return b.explain(err, "")
	}
	if have > len(migrations) {
		return newer(b.path, have)
	}
	err = migrateTo(ctx, tx, have, len(migrations))
	if code(err) == sqlite3.SQLITE_ERROR {
		// The steps are right for what they are meant for, so this is something else.
		return damaged(b.path, fmt.Sprintf("its schema is said to be %d, and is not: %v", have, err))
	}
	if err != nil {
		return b.explain(err, "")
	}
	return b.explain(tx.Commit(), "")
}

func migrateTo(ctx context.Context, tx *sql.Tx, have, want int) error {
	for v := have; v < want; v++ {
		if _, err := tx.ExecContext(ctx, migrations[v]); err != nil {
			return fmt.Errorf("step %d of the schema: %w", v+1, err)
		}
		if err := editRows(ctx, tx, v+1); err != nil {
			return fmt.Errorf("step %d of the schema: %w", v+1, err)
		}
	}
	_, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d",
		applicationID, want))
	return err
}

func newer(path string, version int) error {
	return fmt.Errorf("%s: %w (its schema is %d, this one knows up to %d). Nothing was changed. "+
		"Use the newer tawny", path, ErrNewer, version, len(migrations))
}
