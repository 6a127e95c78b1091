package book

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"tawny/colour"
)

// largeBook is a workshop's book after years: 5,000 batches with their blends,
// of 200 clients, with results as long as the program's own.
func largeBook(b *testing.B) *Book {
	b.Helper()
	ctx := b.Context()
	book := newBook(b)
	long := json.RawMessage(`{"title":"a shade","notes":["` + strings.Repeat("a sentence about the shade; ", 400) + `"]}`)
	err := book.Together(ctx, func(book *Book) error {
		lots := make([]int64, 40)
		for i := range lots {
			powder := must1[int64](b)(Add(ctx, book, Powder{Name: fmt.Sprintf("powder %d", i), Source: "demo"}))
			lots[i] = must1[int64](b)(book.AddLot(ctx, Lot{PowderID: powder, Lot: fmt.Sprintf("L-%d", i)}, 5000))
		}
		for i := range 200 {
			client := must1[int64](b)(Add(ctx, book, Client{Name: fmt.Sprintf("Dancer %c%d (demo)", 'A'+i%26, i)}))
			for range 10 {
				must1[int64](b)(Add(ctx, book, Reading{ClientID: client, How: "instrument", Seen: "skin", Lab: colour.Lab{L: 50}, Reflectance: flat(0.2)}))
			}
			for n := range 25 {
				blend := must1[int64](b)(Add(ctx, book, Blend{Name: "a shade", ClientID: client, LoadPercent: 3, Document: long, Request: json.RawMessage(`{"version":2}`),
					Powders: []BlendPowder{{PowderName: fmt.Sprintf("powder %d", n), Lot: fmt.Sprintf("L-%d", n), Percent: 3}}}))
				must1[int64](b)(Add(ctx, book, Batch{Name: "a shade", BlendID: blend, ClientID: client, PlannedG: 100, LoadPercent: 3, MadeOn: "2026-03-01", Document: long,
					Weights: []Weight{{Role: "powder", Name: fmt.Sprintf("powder %d", n), Lot: fmt.Sprintf("L-%d", n), PlannedG: 3, WeighedG: new(3.0)},
						{Role: "base", Name: "demo lotion", PlannedG: 97, WeighedG: new(97.0)}}}))
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	return book
}

// BenchmarkLargeBook is what is waited for in a book of 5,000 batches.
func BenchmarkLargeBook(b *testing.B) {
	book := largeBook(b)
	ctx := b.Context()
	each := func(name string, do func(b *testing.B) error) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if err := do(b); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	each("list", func(*testing.B) error { _, err := book.List(ctx, Batches); return err })
	each("client", func(*testing.B) error {
		readings, err := Of[Reading](ctx, book, "client_id", 7)
		AverageSkin(readings)
		for _, kind := range []Kind{Blends, Batches} {
			made, failed := book.MadeFor(ctx, kind, 7)
			if failed != nil || len(made) != 25 {
				return fmt.Errorf("%d %s (%w)", len(made), kind, failed)
			}
		}
		return err
	})
	each("stock", func(*testing.B) error { _, err := book.Stock(ctx); return err })
	each("check", func(*testing.B) error { _, err := book.Check(ctx); return err })
	each("open", func(b *testing.B) error {
		again, err := Open(ctx, book.path)
		if err == nil {
			err = again.Close()
		}
		return err
	})
	var export bytes.Buffer
	if _, err := book.ExportJSON(ctx, &export, ExportOptions{Clients: true}); err != nil {
		b.Fatal(err)
	}
	each("import", func(b *testing.B) error {
		other, err := Open(ctx, filepath.Join(b.TempDir(), "book.db"))
		if err != nil {
			return err
		}
		defer other.Close()
		_, err = other.ImportJSON(ctx, bytes.NewReader(export.Bytes()))
		return err
	})
	n := 0
	each("forget", func(b *testing.B) error {
		n++
		_, err := book.Forget(ctx, fmt.Sprint(n), false, true)
		return err
	})
	n += 5
	each("forget in the record", func(b *testing.B) error {
		n++
		return book.update(ctx, "", func(tx *sql.Tx) error { _, err := forget(context.Background(), tx, fmt.Sprint(n), false); return err })
	})
}
