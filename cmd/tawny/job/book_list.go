package job

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tawny/blend/book"
)

// BookList is what the book has of a kind, or how many it has of each.
type BookList struct {
	Book    string       `json:"book"`
	Kind    book.Kind    `json:"kind,omitempty"`
	Records []book.Entry `json:"records,omitempty"`
	Counts  []BookCount  `json:"counts,omitempty"`
}

// BookCount is how many records there are of a kind.
type BookCount struct {
	Kind  book.Kind `json:"kind"`
	Count int       `json:"count"`
}

// List lists the records of a kind, or with none counts those of each.
func (k Book) List(ctx context.Context, kind string) (*BookList, error) {
	v := &BookList{}
	kinds := book.Kinds
	if kind != "" {
		one, err := book.ParseKind(kind)
		if err != nil {
			return nil, input(err)
		}
		v.Kind, kinds = one, []book.Kind{one}
	}
	return v, k.read(ctx, func(b *book.Book) error {
		v.Book = b.Path()
		for _, one := range kinds {
			list, err := b.List(ctx, one)
			if err != nil {
				return err
			}
			v.Counts = append(v.Counts, BookCount{one, len(list)})
			if kind != "" {
				v.Records, v.Counts = list, nil
			}
		}
		return nil
	})
}

// BookRecord is one record with what is written of it elsewhere.
type BookRecord struct {
	Kind        book.Kind         `json:"kind"`
	Record      any               `json:"record"` // as its type of package book
	Stock       []book.LotStock   `json:"stock,omitempty"`
	Ledger      []book.LedgerLine `json:"ledger,omitempty"`      // of a lot
	Corrections []book.Correction `json:"corrections,omitempty"` // of a batch
	Readings    []book.Reading    `json:"readings,omitempty"`    // of a batch or a lot
}

// record opens the book for do with the record of a kind that is named by its number
// or, of a powder, a client and a lot, by its name.
func (k Book) record(ctx context.Context, kind, name string, do func(b *book.Book, kind book.Kind, id int64) error) error {
	one, err := book.ParseKind(kind)
	if err != nil {
		return input(err)
	}
	return k.read(ctx, func(b *book.Book) error {
		id, err := idOf(ctx, b, one, name)
		if err != nil {
			return err
		}
		return do(b, one, id)
	})
}

// Show shows one record.
func (k Book) Show(ctx context.Context, kind, name string) (*BookRecord, error) {
	v := &BookRecord{}
	return v, k.record(ctx, kind, name, func(b *book.Book, kind book.Kind, id int64) error {
		v.Kind = kind
		return v.fill(ctx, b, id)
	})
}

func idOf(ctx context.Context, b *book.Book, kind book.Kind, name string) (int64, error) {
	if id, ok := recordID(name); ok {
		return id, nil
	}
	switch kind {
	case book.Powders:
		p, err := findPowder(ctx, b, name)
		return p.ID, err
	case book.Clients:
		c, err := findClient(ctx, b, name)
		return c.ID, err
	case book.Lots:
		l, err := findLot(ctx, b, name, "")
		return l.LotID, err
	}
	return RecordID(string(kind), name)
}

// fill reads the record and what others tell of it.
func (v *BookRecord) fill(ctx context.Context, b *book.Book, id int64) (err error) {
	if v.Record, err = b.Show(ctx, v.Kind, id); err != nil {
		return err
	}
	switch v.Kind {
	case book.Batches:
		if v.Corrections, err = book.Of[book.Correction](ctx, b, "batch_id", id); err == nil {
			v.Readings, err = book.Of[book.Reading](ctx, b, "batch_id", id)
		}
	case book.Lots:
		if v.Ledger, err = b.Ledger(ctx, id); err == nil {
			v.Readings, err = book.Of[book.Reading](ctx, b, "lot_id", id)
		}
	case book.Powders:
		var all []book.LotStock
		if all, err = b.Stock(ctx); err != nil {
			return err
		}
		for _, l := range all {
			if l.PowderID == id {
				v.Stock = append(v.Stock, l)
			}
		}
	}
	return err
}

// Deleted is a record taken out.
type Deleted struct {
	Kind book.Kind `json:"kind"`
	ID   int64     `json:"id"`
	Says string    `json:"says"`
}

// Delete takes out a record that was written by mistake. Without sure it only says
// what would go, as an error.
func (k Book) Delete(ctx context.Context, kind, name string, sure bool) (*Deleted, error) {
	v := &Deleted{}
	return v, k.record(ctx, kind, name, func(b *book.Book, kind book.Kind, id int64) error {
		if kind == book.Clients {
			return inputf("a client goes with all that tells of them: 'tawny book forget %s'", name)
		}
		*v = Deleted{kind, id, fmt.Sprintf("Took %s %d out of the book.", singular(kind), id)}
		return b.Together(ctx, func(b *book.Book) error {
			list, err := b.List(ctx, kind)
			if err != nil {
				return err
			}
			if err := b.Delete(ctx, kind, id); err != nil || sure {
				return err
			}
			e := list[slices.IndexFunc(list, func(e book.Entry) bool { return e.ID == id })]
			what := strings.Join(slices.DeleteFunc([]string{e.Title, e.On, shortNumbers(e.Says)}, func(s string) bool { return s == "" }), ", ")
			return inputf("nothing is done yet. {yes} takes %s %d out of the book for good: %s", singular(kind), id, what)
		})
	})
}

// singular names one record of a kind.
func singular(k book.Kind) string {
	if k == book.Batches {
		return "batch"
	}
	return string(k[:len(k)-1])
}

// BookEdit writes a name or a note over.
type BookEdit struct {
	Kind, Record     string
	Name, Note, Held *string // nil leaves it as it was
}

// Edit writes the name or the note of a record over, or holds a lot back.
func (k Book) Edit(ctx context.Context, q BookEdit) (*BookRecord, error) {
	if q.Name == nil && q.Note == nil && q.Held == nil {
		return nil, inputf("nothing to write; {name}, {note} or {held} is accepted")
	}
	v := &BookRecord{}
	return v, k.record(ctx, q.Kind, q.Record, func(b *book.Book, kind book.Kind, id int64) error {
		v.Kind = kind
		return b.Together(ctx, func(b *book.Book) error {
			for _, to := range []struct {
				field string
				text  *string
			}{{"name", q.Name}, {"note", q.Note}, {"held", q.Held}} {
				if to.text == nil {
					continue
				}
				if err := b.Set(ctx, kind, id, to.field, *to.text); err != nil {
					return err
				}
			}
			return v.fill(ctx, b, id)
		})
	})
}
