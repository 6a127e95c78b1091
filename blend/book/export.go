package book

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"tawny/blend/store"
)

// formatName and formatVersion head every export.
const (
	formatName    = "tawny book"
	formatVersion = 1
)

// What an export says of its clients, in itself.
const (
	clientsIncluded = "included"
	clientsLeftOut  = "left out"
	saysIncluded    = "Everything in the book, clients with their readings and photos among it: keep it as private as the book."
	saysLeftOut     = "Clients, their skins, readings and photos are left out, and so is which files were written; the names, notes, requests " +
		"and results of what was made for clients are emptied. Titles and notes of everything else stand as they were written, with " +
		"any client's name in them: read it before you give it away. Lots and weights are complete. Ask for clients to have them too."
)

// ExportOptions says what an export holds.
type ExportOptions struct {
	Clients bool // clients too; they are left out unless asked for
}

// Exported is what an export held and left out.
type Exported struct {
	Records map[string]int `json:"records"` // by table
	LeftOut map[string]int `json:"left_out,omitempty"`
	Clients string         `json:"clients"` // included or left out
	Says    string         `json:"says"`
}

// heading is what an export says of itself. It holds no time and no machine,
// so that the same book exports as the same bytes.
type heading struct {
	schema  int
	clients string
	lastIDs map[string]int64 // the highest that each table ever gave, not to be given again
}

// says is the heading's sentence.
func (h *heading) says() string {
	if h.clients == clientsIncluded {
		return saysIncluded
	}
	return saysLeftOut
}

// writer is a form an export is written in. begin is called before the rows of
// each table, also of one that has none.
type writer interface {
	head(h *heading) error
	begin(t *table) error
	row(t *table, row []any) error
	end() error
}

// export writes one unchanging state of the book.
func (b *Book) export(ctx context.Context, o ExportOptions, w writer) (done Exported, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		h := heading{schema: len(migrations), clients: clientsIncluded, lastIDs: map[string]int64{}}
		l := &leaving{}
		if !o.Clients {
			h.clients = clientsLeftOut
			if l, err = whoLeaves(ctx, tx, 0); err != nil {
				return err
			}
		}
		for _, t := range numbered() {
			var last int64
			if err := tx.QueryRowContext(ctx, "SELECT coalesce(max(seq), 0) FROM sqlite_sequence WHERE name = ?", t.name).Scan(&last); err != nil {
				return err
			}
			h.lastIDs[t.name] = last
		}
		done = Exported{Records: map[string]int{}, LeftOut: map[string]int{}, Clients: h.clients, Says: h.says()}
		if err := w.head(&h); err != nil {
			return err
		}
		for _, t := range tables {
			if err := w.begin(t); err != nil {
				return err
			}
			err := t.eachRow(ctx, tx, t.orderSQL(), nil, func(row []any) error {
				if !l.row(t, row) || !o.Clients && t.name == "file" { // a path tells of the maker's folders, and of whom they are named after
					done.LeftOut[t.name]++
					return nil
				}
				done.Records[t.name]++
				return w.row(t, row)
			})
			if err != nil {
				return err
			}
		}
		return w.end()
	})
	return done, err
}

// ExportFile exports to path: one JSON document where it ends in .json, a zip
// of CSV files where it ends in .zip, and else a folder of CSV files. It is
// written under another name and renamed when complete; nothing that exists is
// replaced. Only its owner can read it.
func (b *Book) ExportFile(ctx context.Context, path string, o ExportOptions) (done Exported, err error) {
	if _, err := os.Lstat(path); err == nil {
		return done, fmt.Errorf("%s %w", path, ErrTaken)
	}
	b.noteCopy(ctx, path)
	form := strings.ToLower(filepath.Ext(path))
	if form == ".json" {
		err = store.Make(path, func(temp string) error {
			f, err := os.OpenFile(temp, os.O_WRONLY, 0)
			if err != nil {
				return err
			}
			done, err = b.ExportJSON(ctx, f, o)
			return errors.Join(err, f.Close())
		})
	} else {
		err = store.Beside(path, func(temp string) error {
			if done, err = b.export(ctx, o, &csvWriter{dir: temp}); err != nil {
				return err
			}
			if form == ".zip" {
				return store.Make(path, func(archive string) error { return zipFolder(temp, archive) })
			}
			return os.Rename(temp, path)
		})
	}
	if err != nil {
		return Exported{}, fmt.Errorf("the export was not written: %w", err)
	}
	return done, nil
}
