package book

import (
	"errors"
	"reflect"
	"testing"
)

// Grams left are bought less weighed into batches and corrections and what
// else came or went, worked out here by hand from the demo book.
func TestStock(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	stock := must1[[]LotStock](t)
	want := map[string]LotStock{
		"B-9": {LotID: 3, PowderID: 2, PowderName: "Bronze demo", Lot: "B-9", BoughtG: 25.5, UsedG: 0.98, LeftG: 24.52, ReceivedOn: "2026-01-10"},
		"G-0117": {LotID: 1, PowderID: 1, PowderName: "Pale gold demo", Lot: "G-0117", BoughtG: 50, UsedG: 3.31, OtherG: -0.3, LeftG: 46.39,
			Supplier: "a demo supplier", ReceivedOn: "2026-01-10", ExpiresOn: "2029-01-10", Strength: new(1.0), ShadeShiftDE00: new(0.3), PricePerG: new(0.42)},
		"G-0245": {LotID: 2, PowderID: 1, PowderName: "Pale gold demo", Lot: "G-0245", BoughtG: 100, LeftG: 100, PlannedG: 1, ReceivedOn: "2026-02-20"},
	}
	for _, l := range stock(b.Stock(ctx)) {
		if !reflect.DeepEqual(want[l.Lot], l) {
			t.Errorf("%+v, want %+v", l, want[l.Lot])
		}
		delete(want, l.Lot)
	}
	if len(want) > 0 {
		t.Errorf("missing %v", want)
	}

	ledger, err := b.Ledger(ctx, 1)
	if err != nil {
		t.Fatal(err)
	}
	type line struct {
		kind        string
		grams, left float64
	}
	for i, want := range []line{{"bought", 50, 50}, {"spilt", -0.3, 49.7}, {"batch", -3.01, 46.69}, {"correction", -0.3, 46.39}} {
		if i >= len(ledger) || (line{ledger[i].Kind, ledger[i].Grams, ledger[i].LeftG}) != want {
			t.Errorf("ledger line %d of %+v, want %v", i, ledger, want)
		}
	}

	// Weighing the planned batch takes from its lot; weighing it again replaces.
	for _, g := range []float64{1.2, 1.1} {
		if err := b.Weigh(ctx, Batches, 2, "2026-03-01", nil, nil, []Weighing{{Position: 1, WeighedG: &g}}); err != nil {
			t.Fatal(err)
		}
	}
	if l := stock(b.Stock(ctx))[2]; l.UsedG != 1.1 || l.LeftG != 98.9 {
		t.Errorf("after weighing: %+v", l)
	}
	// From another bag than planned.
	if err := b.Weigh(ctx, Batches, 2, "", new(49.8), nil, []Weighing{{Position: 1, WeighedG: new(1.1), Lot: "g-0117"}, {Position: 2, WeighedG: new(49.0)}}); err != nil {
		t.Fatal(err)
	}
	if s := stock(b.Stock(ctx)); s[1].UsedG != 4.41 || s[2].UsedG != 0 {
		t.Errorf("after weighing from another lot: %+v", s)
	}
	if batch, err := Get[Batch](ctx, b, 2); err != nil || batch.MadeOn != "2026-03-01" || *batch.MadeG != 49.8 || batch.Weights[0].Lot != "G-0117" {
		t.Errorf("%+v %v", batch, err)
	}
	// What the balance shows becomes a movement of the difference.
	if d, err := b.CountStock(ctx, 2, 99.25, "year's end"); err != nil || d != -0.75 {
		t.Errorf("difference %g (%v), want −0.75", d, err)
	}
	if l := stock(b.Stock(ctx))[2]; l.LeftG != 99.25 || l.OtherG != -0.75 {
		t.Errorf("after the count: %+v", l)
	}
}

// Many small weighings leave exactly what a balance would say.
func TestStockOfManyTenths(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	ctx := t.Context()
	id := must1[int64](t)
	powder := id(Add(ctx, b, Powder{Name: "Pale gold demo", Source: "demo"}))
	id(b.AddLot(ctx, Lot{PowderID: powder, Lot: "1"}, 10))
	ws := make([]Weight, 99)
	for i := range ws {
		ws[i] = Weight{Role: "powder", Name: "pale gold DEMO", Lot: "1", PlannedG: 0.1, WeighedG: new(0.1)}
	}
	id(Add(ctx, b, Batch{PlannedG: 9.9, Weights: ws}))
	s, err := b.Stock(ctx)
	if err != nil || s[0].UsedG != 9.9 || s[0].LeftG != 0.1 {
		t.Errorf("%+v %v, want 9.9 g used and 0.1 g left exactly", s, err)
	}
	sum := 0.0
	for range 99 {
		sum += 0.1
	}
	if sum == 9.9 {
		t.Error("plain adding would do too: this test shows nothing")
	}
}

// A lot written after it was used takes on what was weighed from it.
func TestLotAddedLater(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	id := must1[int64](t)
	id(Add(ctx, b, Batch{PlannedG: 2, Weights: []Weight{{Role: "powder", Name: "bronze demo", Lot: "B-10", PlannedG: 2, WeighedG: new(2.0)}}}))
	found, err := b.Check(ctx)
	if err != nil || len(found) != 1 || found[0].Serious || found[0].Field != "lot" {
		t.Errorf("a weighing from an unknown lot: %v %v", found, err)
	}
	lot := id(b.AddLot(ctx, Lot{PowderID: 2, Lot: "b-10"}, 5))
	s, err := b.Stock(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range s {
		if l.LotID == lot && (l.LeftG != 3 || l.UsedG != 2) {
			t.Errorf("%+v", l)
		}
	}
}

func TestMakeAgain(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	again, err := b.MakeAgain(ctx, 1)
	if err != nil {
		t.Fatal(err)
	}
	if string(again.Request) != `{"grams":100}` || len(again.Powders) != 2 {
		t.Fatalf("%+v", again)
	}
	gold := again.Powders[0]
	if gold.Lot != "G-0117" || gold.LotID != 1 || *gold.WeighedG != 3.01 || gold.Name != "Pale gold demo" {
		t.Errorf("%+v", gold)
	}
	// A batch without a request of its own goes by its blend's.
	again, err = b.MakeAgain(ctx, 2)
	if err != nil || string(again.Request) != `{"target":"#d8b48a"}` || again.Powders[0].PlannedG != 1 {
		t.Errorf("%+v %v", again, err)
	}
	if _, err := b.MakeAgain(ctx, 77); !errors.Is(err, ErrNotFound) {
		t.Error(err)
	}
}

// A recall finds powders and ingredients, made and only planned, and for whom.
func TestUsesOfLot(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	uses, err := b.UsesOfLot(t.Context(), "g-0117")
	if err != nil || len(uses) != 3 {
		t.Fatalf("%+v %v", uses, err)
	}
	for i, want := range []Use{
		{Kind: "batch", Role: "powder", Name: "Pale gold demo", Lot: "G-0117", BatchID: 1, Title: "Ada's, opening night", MadeOn: "2026-02-14",
			ClientID: 1, Client: "Dancer Ada (demo)", PlannedG: 3, WeighedG: 3.01},
		{Kind: "blend", Role: "powder", Name: "Pale gold demo", Lot: "G-0117", BlendID: 1, Title: "Ada, warm, second act",
			ClientID: 1, Client: "Dancer Ada (demo)", Percent: 3},
		{Kind: "correction", Role: "powder", Name: "Pale gold demo", Lot: "G-0117", BatchID: 1, CorrectionID: 1, Title: "Ada's, opening night",
			MadeOn: "2026-02-15", ClientID: 1, Client: "Dancer Ada (demo)", PlannedG: 0.3, WeighedG: 0.3},
	} {
		if uses[i] != want {
			t.Errorf("%+v\nwant %+v", uses[i], want)
		}
	}
	if uses, err := b.UsesOfLot(t.Context(), "lot-7"); err != nil || len(uses) != 1 || uses[0].Role != "base" || uses[0].Name != "demo lotion" {
		t.Errorf("an ingredient of the base: %+v %v", uses, err)
	}
	if uses, err := b.UsesOfLot(t.Context(), "none such"); err != nil || len(uses) != 0 {
		t.Errorf("%+v %v", uses, err)
	}
}
