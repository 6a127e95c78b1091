package job

import (
	"context"
	"slices"

	"tawny/blend/batch"
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
	Record      any               `json:"record"`                // as its type of package book
	Stock       []book.LotStock   `json:"stock,omitempty"`       // of a powder
	Held        []batch.Finding   `json:"held,omitempty"`        // of the lots of a batch
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
		return v.fill(ctx, b, kind, id)
	})
}

func idOf(ctx context.Context, b *book.Book, kind book.Kind, name string) (int64, error) {
	if id, ok := recordID(name); ok && kind != book.Batches {
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
	if kind == book.Batches {
		return batchID(ctx, b, name)
	}
	return RecordID(string(kind), name)
}

// fill reads the record and what others tell of it.
func (v *BookRecord) fill(ctx context.Context, b *book.Book, kind book.Kind, id int64) (err error) {
	v.Kind = kind
	if v.Record, err = b.Show(ctx, v.Kind, id); err != nil {
		return err
	}
	switch v.Kind {
	case book.Batches:
		made, err := stands(ctx, b, id)
		if err != nil {
			return err
		}
		v.Corrections, v.Held = made.corrections, made.held(new(Env).today())
		v.Readings, err = book.Of[book.Reading](ctx, b, "batch_id", id)
		return err
	case book.Lots:
		if v.Ledger, err = b.Ledger(ctx, id); err == nil {
			v.Readings, err = book.Of[book.Reading](ctx, b, "lot_id", id)
		}
	case book.Powders:
		v.Stock, err = b.Stock(ctx)
		v.Stock = slices.DeleteFunc(v.Stock, func(l book.LotStock) bool { return l.PowderID != id })
	}
	return err
}

// Deleted is a record taken out.
type Deleted struct {
	Kind book.Kind `json:"kind"`
	ID   int64     `json:"id"`
	Says string    `json:"says"`
}

// singular names one record of a kind.
func singular(k book.Kind) string {
	if k == book.Batches {
		return "batch"
	}
	return string(k[:len(k)-1])
}
