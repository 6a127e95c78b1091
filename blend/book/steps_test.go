package book

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
)

// However far a write had come on the disk when the program was ended, after any
// frame of the log or within one, the book is sound and has all that had been
// written whole before, and nothing of what had not. A frame is a page and 24 bytes
// before it, the log's header 32 bytes (the SQLite file format, 4.1).
func TestEndedAtEveryStepOfAWrite(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	b := newBook(t)
	powder := must1[int64](t)(Add(ctx, b, Powder{Name: "gold", Source: "demo"}))
	must1[int64](t)(b.AddLot(ctx, Lot{PowderID: powder, Lot: "G-1"}, 50))
	log := func() []byte {
		data, err := os.ReadFile(b.path + "-wal")
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	var whole []int // how long the log was once each batch was written
	for range 4 {
		err := b.Together(ctx, func(b *Book) error {
			blend, err := Add(ctx, b, Blend{LoadPercent: 2, Powders: []BlendPowder{{PowderName: "gold", Lot: "G-1", Percent: 2}}})
			if err == nil {
				_, err = Add(ctx, b, Batch{BlendID: blend, PlannedG: 50, LoadPercent: 2, Weights: []Weight{
					{Role: "powder", Name: "gold", Lot: "G-1", PlannedG: 1, WeighedG: new(1.0)}, {Role: "base", Name: "demo oil", PlannedG: 49}}})
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		whole = append(whole, len(log()))
	}
	file, err := os.ReadFile(b.path)
	if err != nil {
		t.Fatal(err)
	}
	steps := 0
	const frame = 24 + 4096
	for at := 32; at <= whole[len(whole)-1]; at += frame {
		for _, end := range []int{at, min(at+frame/2, whole[len(whole)-1])} {
			path := filepath.Join(t.TempDir(), "book.db")
			if err := errors.Join(os.WriteFile(path, file, 0o600), os.WriteFile(path+"-wal", log()[:end], 0o600)); err != nil {
				t.Fatal(err)
			}
			want := 0
			for want < len(whole) && whole[want] <= end {
				want++
			}
			got, err := Open(ctx, path)
			if err != nil {
				t.Fatalf("ended after %d bytes: %v", end, err)
			}
			batches, blends := must1[[]Entry](t)(got.List(ctx, Batches)), must1[[]Entry](t)(got.List(ctx, Blends))
			if len(batches) != want || len(blends) != want {
				t.Errorf("ended after %d bytes: %d batches and %d blends, want %d", end, len(batches), len(blends), want)
			}
			if found, err := got.Check(ctx); err != nil || len(found) > 0 {
				t.Errorf("ended after %d bytes: %v %v", end, err, found)
			}
			got.Close()
			steps++
		}
	}
	if steps < 50 {
		t.Errorf("only %d steps", steps)
	}
}
