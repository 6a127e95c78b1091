package book

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	sqlite3 "modernc.org/sqlite/lib"

	"tawny/blend/store"
)

// Forgotten is what forgetting a client removed and what it could not.
type Forgotten struct {
	Skins       int       `json:"skins"`
	Readings    int       `json:"readings"`
	Photos      int       `json:"photos"`
	Blends      int       `json:"blends"` // kept, emptied of what told of them
	Batches     int       `json:"batches"`
	Recipes     int       `json:"recipes"` // of Batches: those that can be made again, labelled and printed as before
	Corrections int       `json:"corrections"`
	Erased      []Mention `json:"erased,omitempty"`    // texts of others that the name was taken out of
	Mentions    []Mention `json:"mentions,omitempty"`  // of the name where nothing was changed, for the maker to look at
	PutAside    []string  `json:"put_aside,omitempty"` // books that restores put aside and copies left unfinished, which may hold it still
	Files       []string  `json:"files,omitempty"`     // cards, sheets, copies and drawers that may hold it still
	Says        string    `json:"says"`
}

// Mention is a place elsewhere in the book that holds a forgotten name.
type Mention struct {
	Table string `json:"table"`
	ID    int64  `json:"id"`
	Field string `json:"field"`
	Words string `json:"words,omitempty"` // what stands there
}

const (
	forgetSays = "The automatic backups were made anew. A name is found as it is written, not as a nickname or as other languages " +
		"bend it, and what a picture has within itself, such as a camera's comment, is not looked at. What was drawn before the client was in the book is not noted there, and what browsers were sent, and copies and prints of your own, " +
		"no program can know of: look for those yourself. Nor can one promise what a disk keeps beneath its files"
	allTaken  = "The name stands nowhere in the file any more"
	someStays = "But for the places listed, the name stands nowhere in the file any more"
	shared    = "A word of it that a powder, a base, another client or the trade has too was looked for in titles, notes and paths alone"
	homeStays = "Your home folder has a word of it and keeps it, in the paths of files that are noted too"
)

// Forget removes a client, by name or id, with the skins, readings and photos
// of them, and empties the blends, batches and corrections made for them of
// names, notes, requests, results and colours; of a batch its recipe and its sheet stay, without
// them. Out of what was written of others goes the
// name, and each word of it that stands for nothing else; with listed also the
// words that without it would be listed, where they are not some record's own
// name; listed also takes the name of one forgotten before, of whom something was
// left. Then the file is written anew, so that nothing removed remains in it or
// in its log. Should another program keep the file from being written anew, the
// error is ErrBusy: the client is gone from the record, and the next opening
// finishes the rest. Without sure it tells what it would do, and changes nothing.
func (b *Book) Forget(ctx context.Context, nameOrID string, listed, sure bool) (f Forgotten, err error) {
	b.write.Lock()
	defer b.write.Unlock()
	errNotSure := errors.New("not to be kept")
	err = b.updateLocked(ctx, fmt.Sprintf("client %q", nameOrID), func(tx *sql.Tx) error {
		if f, err = forget(ctx, tx, nameOrID, listed); err == nil && !sure {
			err = errNotSure
		}
		return err
	})
	if err == nil {
		if err = b.writeAnew(ctx); err != nil {
			err = fmt.Errorf("%w: %w. They go the next time the book is opened", ErrTraces, err)
		}
	}
	f.PutAside = putAside(b.path)
	if err == errNotSure {
		err = nil
	}
	return f, err
}

// forget is what of it is one transaction.
func forget(ctx context.Context, tx *sql.Tx, nameOrID string, listed bool) (f Forgotten, err error) {
	client, err := named[Client](ctx, tx, nameOrID)
	before := listed && errors.Is(err, ErrNotFound) && strings.ContainsFunc(nameOrID, unicode.IsLetter)
	if before {
		client = Client{ID: -1, Name: nameOrID} // nobody's number
	} else if err != nil {
		return f, err
	}
	notFound := err
	l, err := whoLeaves(ctx, tx, client.ID)
	if err != nil {
		return f, err
	}
	f = Forgotten{
		Skins: len(l.gone["skin"]), Readings: len(l.gone["reading"]), Photos: len(l.gone["photo"]),
		Blends: len(l.cleared["blend"]), Batches: len(l.cleared["batch"]),
		Corrections: len(l.cleared["correction"]), Says: allTaken,
	}
	e, err := eraserOf(ctx, tx, client)
	if err != nil {
		return f, err
	}
	n, err := notedFiles(ctx, tx)
	if err != nil {
		return f, err
	}
	if f.Recipes, err = l.carryOut(ctx, tx); err != nil {
		return f, err
	}
	if f.Erased, f.Mentions, err = e.book(ctx, tx, listed); err != nil {
		return f, err
	}
	if err := n.eraseCopies(ctx, tx, e, listed); err != nil {
		return f, err
	}
	if before && len(f.Erased)+len(f.Mentions) == 0 {
		return f, notFound
	}
	f.Files = n.files(e, l, f.Erased)
	if len(f.Mentions) > 0 {
		f.Says = someStays
	}
	if e.metHome {
		f.Says += ". " + homeStays
	}
	if e.shares() {
		f.Says += ". " + shared
	}
	f.Says += ". " + forgetSays
	_, err = tx.ExecContext(ctx, writeAnewLater)
	return f, err
}

// carryOut empties and removes what leaves: emptied first, then removed from
// the last table to the first, so that nothing ever refers to what is gone. recipes
// is of how many batches it stays known how they were made.
func (l *leaving) carryOut(ctx context.Context, tx *sql.Tx) (recipes int, err error) {
	made := map[int64]Again{} // while their blends have their requests
	for id := range l.cleared["batch"] {
		if again, err := makeAgain(ctx, tx, id); err == nil { // of one that cannot be read all goes
			made[id] = again
		}
	}
	for _, t := range tables {
		for _, id := range slices.Sorted(maps.Keys(l.cleared[t.name])) {
			where := fmt.Sprintf("%s %d", t.name, id)
			err := t.eachRow(ctx, tx, "WHERE id = ?", []any{id}, func(row []any) error {
				l.row(t, row)
				if again, ok := made[id]; ok && t.name == "batch" {
					request, sheet := again.forNobody()
					row[t.column("request")], row[t.column("document")] = request, sheet
					if request != nil {
						recipes++
					}
				}
				return t.overwrite(ctx, tx, row, where)
			})
			if err != nil {
				return 0, err
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
				return 0, err
			}
		}
	}
	return recipes, nil
}

// theirs are the columns in which people write what they like.
var theirs = map[string]bool{
	"blend.name": true, "batch.name": true, "skin.name": true, "supplier": true, "place": true, "instrument": true, "why": true, "note": true,
}

// care is how a kind of text is treated: how much of a name is taken out, how
// much once the maker has said yes to what is listed, and what is listed.
type care struct{ takes, asked, lists reach }

func (c care) taken(listed bool) reach {
	if listed {
		return c.asked
	}
	return c.takes
}

// carePath is how the path of a noted file is treated, which no client's name has
// by chance.
var carePath = care{nearWords, everyWord, everyWord}

// careOf is how a column's text is treated; key is where in a document it stands.
func (t *table) careOf(c *column, key string) care {
	switch {
	case c.kind == document:
		switch key {
		case "title", "note", "client", "code", "value":
			return care{ownWords, everyWord, everyWord}
		case "name", "notes", "text", "words", "says", "lines": // a powder's or the program's own words among them
			return care{ownWords, nearWords, nearWords}
		case "lot":
			return care{nothing, nearWords, nearWords}
		case "part", "only", "use", "without", "at-most", "at-least": // powders' names
			return care{wholeName, wholeName, nearWords}
		case "base":
			return care{wholeName, ownWords, nearWords}
		}
		return care{wholeName, nearWords, nearWords}
	case c.name == "path":
		return carePath
	case theirs[c.name] || theirs[t.name+"."+c.name]:
		return care{ownWords, everyWord, everyWord}
	case c.name == "lot":
		return care{nothing, nearWords, nearWords}
	case c.name == "base": // of one called after the client
		return care{nothing, ownWords, nearWords}
	}
	return care{nothing, nothing, nearWords} // others' names
}

// NameIn reports whether forgetting a client would take a word of a text out for their
// name's.
func (b *Book) NameIn(ctx context.Context, clientID int64, text string) (in bool, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		client, err := get[Client](ctx, tx, clientID)
		if err != nil {
			return err
		}
		e, err := eraserOf(ctx, tx, client)
		in = err == nil && e.text(text, ownWords) != text
		return err
	})
	return in, err
}

// eraserOf is the eraser of a client's name. The names of powders, bases, other
// clients and the trade, and their words, stand for those too, but where a powder or a
// base is called after the client.
func eraserOf(ctx context.Context, tx *sql.Tx, client Client) (*eraser, error) {
	clients, err := gather(ctx, tx, cell[string], "SELECT name FROM client WHERE id <> ?", client.ID)
	if err != nil {
		return nil, err
	}
	things, err := gather(ctx, tx, cell[string], "SELECT name FROM powder UNION SELECT family FROM powder UNION SELECT name FROM batch_weight "+
		"UNION SELECT powder_name FROM blend_powder UNION SELECT name FROM correction_weight UNION SELECT base FROM blend UNION SELECT base FROM batch")
	things = slices.DeleteFunc(things, func(thing string) bool { return calledAfter(thing, client.Name) })
	stays := map[string]bool{}
	for _, name := range slices.Concat(clients, things, tradeWords, besideWords) {
		stays[foldName(name)] = true
		for _, s := range wordsOf(name) {
			stays[foldName(name[s.from:s.to])] = true
		}
	}
	return newEraser(client.Name, func(word string) bool { return stays[word] }), err
}

// book takes the name out of what is left in the book, and reports where it did
// and where what may be the name stands still.
func (e *eraser) book(ctx context.Context, tx *sql.Tx, listed bool) (erased, mentions []Mention, err error) {
	for _, t := range tables {
		err := t.eachRow(ctx, tx, "", nil, func(row []any) error {
			id, _ := row[0].(int64)
			old := slices.Clone(row)
			var taken, left []Mention
			for i, c := range t.columns {
				s, ok := row[i].(string)
				if !ok || c.kind != text && c.kind != document || c.words != nil || c.name == "sha256" {
					continue
				}
				var still []string
				clean := func(key, s string) string {
					with := t.careOf(&c, key)
					s = e.text(s, with.taken(listed))
					for _, at := range e.find(s, with.lists) {
						still = append(still, s[at.from:at.to])
					}
					return s
				}
				switch {
				case c.kind == document:
					row[i] = e.document(s, clean)
				case c.name == "path":
					home := e.home(s)
					row[i] = home + clean("", s[len(home):])
				default:
					row[i] = clean("", s)
				}
				if row[i] != s {
					taken = append(taken, Mention{Table: t.name, ID: id, Field: c.name})
				}
				if len(still) > 0 {
					slices.Sort(still)
					left = append(left, Mention{t.name, id, c.name, strings.Join(slices.Compact(still), ", ")})
				}
			}
			if len(taken) > 0 {
				err := t.overwrite(ctx, tx, row, t.name)
				if code(err) == sqlite3.SQLITE_CONSTRAINT { // without it, two names would be one
					copy(row, old)
					for i := range taken {
						taken[i].Words, _ = old[t.column(taken[i].Field)].(string)
					}
					taken, left = nil, append(left, taken...)
				} else if err != nil {
					return err
				}
			}
			erased, mentions = append(erased, taken...), append(mentions, left...)
			return nil
		})
		if err != nil {
			return nil, nil, err
		}
	}
	return erased, mentions, nil
}

const writeAnewLater = "INSERT OR IGNORE INTO chore (name) VALUES ('write anew')"

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
	store.Sweep(filepath.Dir(b.path))
	store.Sweep(BackupFolder(b.path))
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
