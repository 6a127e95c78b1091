package book

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

// The description that writing, export, import and check go by is the schema:
// each table and each column, no more and no less.
func TestTablesAreTheSchema(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	ctx := t.Context()
	c := checker{ctx: ctx}
	err := b.view(ctx, func(tx *sql.Tx) error {
		c.tx = tx
		var names []string
		err := c.each("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\' AND name NOT IN ('chore', 'copy') ORDER BY rowid",
			func(cells []string) { names = append(names, cells[0]) })
		if err != nil {
			return err
		}
		if len(names) != len(tables) {
			t.Errorf("the schema has %v", names)
		}
		types := map[kind]string{integer: "INTEGER", number: "REAL", picture: "BLOB"}
		for _, table := range tables {
			var got, want []string
			key := 0
			err := c.each("SELECT name, type, \"notnull\", pk FROM pragma_table_info('"+table.name+"') ORDER BY cid", func(cells []string) {
				got = append(got, strings.Join(cells[:3], " "))
				if cells[3] != "0" {
					key++
				}
			})
			if err != nil {
				return err
			}
			for _, c := range table.columns {
				is, notNull := types[c.kind], 1
				if is == "" {
					is = "TEXT"
				}
				if c.null || c.name == "id" {
					notNull = 0
				}
				want = append(want, fmt.Sprintf("%s %s %d", c.name, is, notNull))
			}
			if !reflect.DeepEqual(got, want) || key != table.key {
				t.Errorf("%s: the schema has %v key %d, the description %v key %d", table.name, got, key, want, table.key)
			}
			refs := map[string]string{}
			err = c.each("SELECT \"from\", \"table\" FROM pragma_foreign_key_list('"+table.name+"')", func(cells []string) { refs[cells[0]] = cells[1] })
			if err != nil {
				return err
			}
			for _, c := range table.columns {
				if refs[c.name] != c.ref {
					t.Errorf("%s.%s refers to %q in the schema, %q in the description", table.name, c.name, refs[c.name], c.ref)
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// A book at any earlier step of the schema comes to the present one with its
// records, and is then as a new one.
func TestMigrationsInOrder(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	for from := 1; from <= len(migrations); from++ {
		path := filepath.Join(t.TempDir(), "book.db")
		old := bookAt(t, path, from)
		if _, err := old.Exec("INSERT INTO powder (name, source, recorded_at) VALUES ('Kept demo', 'demo', '2026-01-01T00:00:00Z')"); err != nil {
			t.Fatal(err)
		}
		old.Close()
		b, err := Open(ctx, path)
		if err != nil {
			t.Fatalf("from step %d: %v", from, err)
		}
		if p, err := Named[Powder](ctx, b, "kept DEMO"); err != nil || p.ID != 1 {
			t.Errorf("from step %d: %v %v", from, p, err)
		}
		if found, err := b.Check(ctx); err != nil || len(found) > 0 {
			t.Errorf("from step %d: %v %v", from, found, err)
		}
		b.Close()
	}
}

// bookAt makes a book that has had only the first steps of the schema.
func bookAt(t *testing.T, path string, steps int) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	if err := migrateTo(context.Background(), tx, 0, steps); err != nil {
		t.Fatal(err)
	}
	if err := tx.Commit(); err != nil {
		t.Fatal(err)
	}
	return db
}

// A book of a newer schema is refused unchanged, also when the newer program
// comes while this one has it open.
func TestNewerIsRefused(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	path := filepath.Join(t.TempDir(), "book.db")
	b, err := Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	if _, err := b.db.Exec(fmt.Sprintf("PRAGMA user_version = %d", len(migrations)+1)); err != nil {
		t.Fatal(err)
	}
	if _, err := Add(ctx, b, Client{Name: "x"}); !errors.Is(err, ErrNewer) {
		t.Errorf("write after the upgrade: %v", err)
	}
	if _, err := Open(ctx, path); !errors.Is(err, ErrNewer) {
		t.Errorf("open after the upgrade: %v", err)
	}
	var n int
	if err := b.db.QueryRow("SELECT count(*) FROM client").Scan(&n); err != nil || n != 0 {
		t.Errorf("%d clients (%v)", n, err)
	}
}
