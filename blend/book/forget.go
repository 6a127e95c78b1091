package book

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
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
	Erased      []Mention `json:"erased,omitempty"`    // texts of others that the name was taken out of
	Mentions    []Mention `json:"mentions,omitempty"`  // of the name where nothing was changed, for the maker to look at
	PutAside    []string  `json:"put_aside,omitempty"` // books that restores put aside, which may hold it still
	Says        string    `json:"says"`
}

// Mention is a place elsewhere in the book that holds a forgotten name.
type Mention struct {
	Table string `json:"table"`
	ID    int64  `json:"id"`
	Field string `json:"field"`
}

const forgetSays = "The whole name stands nowhere in the file any more, and the automatic backups were made anew without it. " +
	"Single words of it stay where they are also a powder's or the trade's, and in lots' numbers and drawers. " +
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
		f, err = forget(ctx, tx, nameOrID)
		return err
	})
	if err != nil {
		return Forgotten{}, err
	}
	f.PutAside = putAside(b.path)
	if err := b.writeAnew(ctx); err != nil {
		return f, fmt.Errorf("the client is forgotten, but traces are still in the file: %w. "+
			"They go the next time the book is opened", err)
	}
	return f, nil
}

// forget is what of it is one transaction.
func forget(ctx context.Context, tx *sql.Tx, nameOrID string) (f Forgotten, err error) {
	client, err := clientNamed(ctx, tx, nameOrID)
	if err != nil {
		return f, err
	}
	l, err := whoLeaves(ctx, tx, client.ID)
	if err != nil {
		return f, err
	}
	f = Forgotten{
		Skins: len(l.gone["skin"]), Readings: len(l.gone["reading"]), Photos: len(l.gone["photo"]),
		Blends: len(l.cleared["blend"]), Batches: len(l.cleared["batch"]),
		Corrections: len(l.cleared["correction"]), Says: forgetSays,
	}
	if err := l.carryOut(ctx, tx); err != nil {
		return f, err
	}
	if f.Erased, f.Mentions, err = erase(ctx, tx, client.Name); err != nil {
		return f, err
	}
	_, err = tx.ExecContext(ctx, "INSERT OR IGNORE INTO chore (name) VALUES ('write anew')")
	return f, err
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

// ownWords are the columns in which people write what they like; in the others
// a name is only reported.
var ownWords = map[string]bool{
	"blend.name": true, "batch.name": true, "skin.name": true, "supplier": true, "place": true, "instrument": true, "why": true, "note": true,
}

// erase takes a name out of what is left in the book, and reports where it did
// and where the name stands in what it must not change.
func erase(ctx context.Context, tx *sql.Tx, name string) (erased, mentions []Mention, err error) {
	stays, err := wordsThatStay(ctx, tx)
	if err != nil {
		return nil, nil, err
	}
	e := newEraser(name, func(word string) bool { return stays[word] })
	for _, t := range tables {
		err := t.eachRow(ctx, tx, "", nil, func(row []any) error {
			changed := false
			for i, c := range t.columns {
				s, ok := row[i].(string)
				if !ok || c.kind != text && c.kind != document || c.words != nil {
					continue
				}
				id, _ := row[0].(int64)
				m := Mention{Table: t.name, ID: id, Field: c.name}
				clean := s
				switch {
				case c.kind == document:
					clean = e.document(s)
				case ownWords[c.name] || ownWords[t.name+"."+c.name]:
					clean = e.text(s, true)
				case e.text(s, false) != s:
					mentions = append(mentions, m)
				}
				if clean != s {
					row[i], changed = clean, true
					erased = append(erased, m)
				}
			}
			if !changed {
				return nil
			}
			return t.overwrite(ctx, tx, row, t.name)
		})
		if err != nil {
			return nil, nil, err
		}
	}
	return erased, mentions, nil
}

// wordsThatStay are the words of powders, bases, other clients and the trade.
func wordsThatStay(ctx context.Context, tx *sql.Tx) (map[string]bool, error) {
	names, err := gather(ctx, tx, cell[string], "SELECT name FROM powder UNION SELECT family FROM powder UNION SELECT name FROM client "+
		"UNION SELECT base FROM blend UNION SELECT base FROM batch UNION SELECT name FROM batch_weight UNION SELECT powder_name FROM blend_powder "+
		"UNION SELECT name FROM correction_weight")
	stays := map[string]bool{}
	for _, name := range append(names, tradeWords...) {
		for _, s := range wordsOf(name) {
			stays[foldName(name[s.from:s.to])] = true
		}
	}
	return stays, err
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
	sweep(filepath.Dir(b.path))
	sweep(BackupFolder(b.path))
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
