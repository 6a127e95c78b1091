package book

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"slices"
)

// Forgotten is what forgetting a client removed and what it could not.
type Forgotten struct {
	Skins       int       `json:"skins"`
	Readings    int       `json:"readings"`
	Photos      int       `json:"photos"`
	Blends      int       `json:"blends"` // kept, emptied of what told of them
	Batches     int       `json:"batches"`
	Corrections int       `json:"corrections"`
	Mentions    []Mention `json:"mentions,omitempty"`  // of the name, elsewhere, for the maker to look at
	PutAside    []string  `json:"put_aside,omitempty"` // books that restores put aside, which may hold it still
	Says        string    `json:"says"`
}

// Mention is a place elsewhere in the book that holds a forgotten name.
type Mention struct {
	Table string `json:"table"`
	ID    int64  `json:"id"`
	Field string `json:"field"`
}

const forgetSays = "The file itself holds none of it any more, and the automatic backups were made anew without it. " +
	"Backups and exports of your own made before still hold it: delete or replace them. " +
	"What a disk keeps beneath its files, no program can promise"

// Forget removes a client, by name or id, with the skins, readings and photos
// of them, and empties the blends, batches and corrections made for them of
// names, notes, requests and results. Then the file is written anew, so that
// nothing removed remains in it or in its log. Should another program keep the
// file from being written anew, the error is ErrBusy: the client is gone from
// the record, and the next opening finishes the rest.
func (b *Book) Forget(ctx context.Context, nameOrID string) (f Forgotten, err error) {
	b.write.Lock()
	defer b.write.Unlock()
	err = b.updateLocked(ctx, fmt.Sprintf("client %q", nameOrID), func(tx *sql.Tx) error {
		client, err := clientNamed(ctx, tx, nameOrID)
		if err != nil {
			return err
		}
		l, err := whoLeaves(ctx, tx, client.ID)
		if err != nil {
			return err
		}
		f = Forgotten{
			Skins: len(l.gone["skin"]), Readings: len(l.gone["reading"]), Photos: len(l.gone["photo"]),
			Blends: len(l.cleared["blend"]), Batches: len(l.cleared["batch"]),
			Corrections: len(l.cleared["correction"]), Says: forgetSays,
		}
		if err := l.carryOut(ctx, tx); err != nil {
			return err
		}
		if f.Mentions, err = mentions(ctx, tx, client.Name); err != nil {
			return err
		}
		f.PutAside = putAside(b.path)
		_, err = tx.ExecContext(ctx, "INSERT OR IGNORE INTO chore (name) VALUES ('write anew')")
		return err
	})
	if err != nil {
		return Forgotten{}, err
	}
	if err := b.writeAnew(ctx); err != nil {
		return f, fmt.Errorf("the client is forgotten, but traces are still in the file: %w. "+
			"They go the next time the book is opened", err)
	}
	return f, nil
}

// carryOut empties and removes what leaves: emptied first, then removed from
// the last table to the first, so that nothing ever refers to what is gone.
func (l *leaving) carryOut(ctx context.Context, tx *sql.Tx) error {
	for _, t := range tables {
		for _, id := range slices.Sorted(maps.Keys(l.cleared[t.name])) {
			where := fmt.Sprintf("%s %d", t.name, id)
			err := t.eachRow(ctx, tx, "WHERE id = ?", []any{id}, func(row []any) error {
				l.row(t, row)
				return t.overwrite(ctx, tx, row, where)
			})
			if err != nil {
				return err
			}
		}
	}
	for _, t := range slices.Backward(tables) {
		for _, c := range t.columns {
			gone := l.gone[c.ref]
			if t.numbered() && c.name == "id" {
				gone = l.gone[t.name]
			}
			if len(gone) == 0 || t.numbered() && c.name != "id" {
				continue
			}
			_, err := tx.ExecContext(ctx, "DELETE FROM "+t.name+" WHERE "+c.name+
				" IN (SELECT value FROM json_each(?))", gone.list())
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// mentions finds a name in any text of the book, capitals aside.
func mentions(ctx context.Context, tx *sql.Tx, name string) (all []Mention, err error) {
	for _, t := range tables {
		for _, c := range t.columns {
			if c.kind != text && c.kind != document || c.words != nil {
				continue
			}
			found, err := gather(ctx, tx, cell[int64], "SELECT "+t.columns[0].name+" FROM "+t.name+
				" WHERE instr(lower("+c.name+"), lower(?)) > 0", name)
			if err != nil {
				return nil, err
			}
			for _, id := range found {
				all = append(all, Mention{Table: t.name, ID: id, Field: c.name})
			}
		}
	}
	return all, nil
}

// writeAnew writes the whole file again without its freed pages, empties the
// log and replaces the automatic backups, so that nothing removed remains in
// any of them. b.write must be held.
func (b *Book) writeAnew(ctx context.Context) error {
	if _, err := b.db.ExecContext(ctx, "VACUUM"); err != nil {
		return b.explain(err, "")
	}
	if err := b.emptyLog(ctx); err != nil {
		return err
	}
	if err := b.backUpAnew(ctx); err != nil {
		return err
	}
	_, err := b.db.ExecContext(ctx, "DELETE FROM chore WHERE name = 'write anew'")
	return b.explain(err, "")
}

func (b *Book) emptyLog(ctx context.Context) error {
	busy, err := b.checkpoint(ctx)
	if err == nil && busy {
		err = fmt.Errorf("%s: %w: it is reading", b.path, ErrBusy)
	}
	return b.explain(err, "")
}

// finishChores makes good what a stop half-way left undone. What another
// program keeps from being finished waits for the next time.
func (b *Book) finishChores(ctx context.Context) error {
	b.write.Lock()
	defer b.write.Unlock()
	var left int
	if err := b.db.QueryRowContext(ctx, "SELECT count(*) FROM chore").Scan(&left); err != nil {
		return b.explain(err, "")
	}
	if left == 0 {
		return nil
	}
	if err := b.writeAnew(ctx); err != nil && !errors.Is(err, ErrBusy) && !errors.Is(err, ErrReadOnly) {
		return err
	}
	return nil
}
