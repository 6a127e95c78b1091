package book

import (
	"archive/zip"
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"
)

// Imported is what an import brought into the book.
type Imported struct {
	Records map[string]int `json:"records"` // by table
	Clients string         `json:"clients"` // included or left out, as the export said
}

// sink takes an export apart: its heading first, then its records in any
// order. where names the record in the export, for errors.
type sink interface {
	head(h *heading) error
	row(t *table, row []any, where string) error
}

// ImportFile imports the export at path, of any of the three forms, into an
// empty book.
func (b *Book) ImportFile(ctx context.Context, path string) (Imported, error) {
	info, err := os.Stat(path)
	if err != nil {
		return Imported{}, fmt.Errorf("the export cannot be read: %w", err)
	}
	if info.IsDir() {
		return b.ImportCSV(ctx, os.DirFS(path))
	}
	if z, err := zip.OpenReader(path); err == nil {
		defer z.Close()
		return b.ImportCSV(ctx, z)
	} else if !errors.Is(err, zip.ErrFormat) {
		return Imported{}, fmt.Errorf("the export cannot be read: %w", err)
	}
	f, err := os.Open(path)
	if err != nil {
		return Imported{}, fmt.Errorf("the export cannot be read: %w", err)
	}
	defer f.Close()
	done, err := b.ImportJSON(ctx, f)
	if err != nil {
		err = fmt.Errorf("%s: %w", path, err)
	}
	return done, err
}

// importFrom writes what parse finds into an empty book, all of it or nothing.
func (b *Book) importFrom(ctx context.Context, parse func(sink) error) (Imported, error) {
	done := Imported{Records: map[string]int{}}
	err := b.update(ctx, "import", func(tx *sql.Tx) error {
		if err := emptyBook(ctx, tx); err != nil {
			return fmt.Errorf("%s: %w", b.path, err)
		}
		// References are checked once all records are there.
		if _, err := tx.ExecContext(ctx, "PRAGMA defer_foreign_keys = 1"); err != nil {
			return err
		}
		in := &importer{ctx: ctx, b: b, tx: tx, done: &done, insert: map[*table]*sql.Stmt{}}
		if err := parse(in); err != nil {
			return err
		}
		return in.finish()
	})
	if err != nil {
		return Imported{}, fmt.Errorf("nothing was imported: %w", err)
	}
	return done, nil
}

// ImportCSV imports an export's CSV files into an empty book.
func (b *Book) ImportCSV(ctx context.Context, files fs.FS) (Imported, error) {
	return b.importFrom(ctx, func(s sink) error { return parseCSV(files, s) })
}

func emptyBook(ctx context.Context, tx *sql.Tx) error {
	for _, t := range tables {
		var some bool
		if err := tx.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM "+t.name+")").Scan(&some); err != nil {
			return err
		}
		if some {
			return fmt.Errorf("%w: it has %s already; import into a new one", ErrNotEmpty, t.kind)
		}
	}
	return nil
}

// importer is the sink that writes.
type importer struct {
	ctx    context.Context
	b      *Book
	tx     *sql.Tx
	h      *heading
	insert map[*table]*sql.Stmt
	done   *Imported
}

func (in *importer) head(h *heading) error {
	in.h, in.done.Clients = h, h.clients
	return nil
}

func (in *importer) row(t *table, row []any, where string) error {
	for step := in.h.schema + 1; step <= len(migrations); step++ {
		if edits[step] != nil {
			t.edit(row, step, powderNow)
		}
	}
	if err := cmp.Or(t.check(row, where), t.gate(row, where)); err != nil {
		return err
	}
	if t.name == "client" && in.h.clients == clientsLeftOut {
		return &FieldError{Where: where, Problem: "the export says that clients are left out, yet here is one"}
	}
	if t.name == "photo" {
		if err := checkPhoto(t, row, where); err != nil {
			return err
		}
	}
	if in.insert[t] == nil {
		statement, err := in.tx.PrepareContext(in.ctx, t.insertSQL())
		if err != nil {
			return err
		}
		in.insert[t] = statement // closed with the transaction
	}
	if _, err := in.insert[t].ExecContext(in.ctx, row...); err != nil {
		return in.b.explain(err, where)
	}
	in.done.Records[t.name]++
	return nil
}

// finish checks that every reference has its record and sets the ids the book
// goes on from.
func (in *importer) finish() error {
	if in.h == nil {
		return errors.New("the export has no heading")
	}
	for _, t := range tables {
		for _, c := range t.columns {
			if c.ref == "" {
				continue
			}
			var key, missing int64
			err := in.tx.QueryRowContext(in.ctx, "SELECT "+t.columns[0].name+", "+c.name+" FROM "+t.name+
				" WHERE "+c.name+" IS NOT NULL AND "+c.name+" NOT IN (SELECT id FROM "+c.ref+") LIMIT 1").Scan(&key, &missing)
			switch {
			case err == nil:
				return &FieldError{fmt.Sprintf("%s with %s %d", t.name, t.columns[0].name, key), c.name,
					fmt.Sprintf("there is no %s %d in the export", c.ref, missing)}
			case !errors.Is(err, sql.ErrNoRows):
				return err
			}
		}
	}
	for name, id := range in.h.lastIDs {
		if _, err := in.tx.ExecContext(in.ctx, "INSERT INTO sqlite_sequence (name, seq) SELECT ?1, 0 "+
			"WHERE NOT EXISTS (SELECT 1 FROM sqlite_sequence WHERE name = ?1)", name); err != nil {
			return err
		}
		if _, err := in.tx.ExecContext(in.ctx, "UPDATE sqlite_sequence SET seq = max(seq, ?2) WHERE name = ?1",
			name, id); err != nil {
			return err
		}
	}
	return nil
}

// check reports a heading this program cannot import.
func (h *heading) check(format, version string) error {
	const where = "the heading of the export"
	switch {
	case format != formatName:
		return &FieldError{where, "format", fmt.Sprintf("%s will not do; give %q, as an export has it", quoted(format), formatName)}
	case version != fmt.Sprint(formatVersion):
		return &FieldError{where, "format_version", fmt.Sprintf("%s is not known to this tawny, which reads %d; use the one that wrote it",
			quoted(version), formatVersion)}
	case h.schema < 1 || h.schema > len(migrations):
		return &FieldError{where, "schema", fmt.Sprintf("%d is not known to this tawny, which reads 1 to %d; use the one that wrote it",
			h.schema, len(migrations))}
	case h.clients != clientsIncluded && h.clients != clientsLeftOut:
		return &FieldError{where, "clients", fmt.Sprintf("%s will not do; give %q or %q", quoted(h.clients), clientsIncluded, clientsLeftOut)}
	}
	for _, name := range slices.Sorted(maps.Keys(h.lastIDs)) {
		if t := tableNamed(name); t == nil || !t.numbered() {
			return &FieldError{"last_ids", name, "there is no such table"}
		}
		if id := h.lastIDs[name]; id < 0 || id > maxID {
			return &FieldError{"last_ids", name, "give a whole number of 0 or more"}
		}
	}
	return nil
}

// take makes a row of what value gives for each column, in their order, and hands it
// to s. where names the record.
func (t *table) take(s sink, where string, value func(row []any, c *column) (any, error)) (err error) {
	row := make([]any, len(t.columns))
	for i := range t.columns {
		c := &t.columns[i]
		if row[i], err = value(row, c); err != nil {
			return &FieldError{where, c.name, err.Error()}
		}
	}
	return s.row(t, row, where)
}

// left is what an older export means by leaving a column out: no text, or unknown.
func (c *column) left() any {
	if c.kind == text && !c.required && (c.words == nil || slices.Contains(c.words, "")) {
		return ""
	}
	return nil
}

// unknown says which names a record may have.
func (t *table) unknown(name string) string {
	return fmt.Sprintf("a %s has no such field; it has %s", t.name, strings.Join(t.names(), ", "))
}
