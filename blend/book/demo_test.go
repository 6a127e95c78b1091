package book

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"tawny/colour"
)

// The record of an invented workshop: the wardrobe of a small dance company
// that makes body shimmer for its dancers. All of it is demo data.

var demoTime = time.Date(2026, 3, 2, 9, 30, 0, 0, time.UTC)

func newBook(t testing.TB) *Book {
	t.Helper()
	b, err := Open(t.Context(), filepath.Join(t.TempDir(), "book.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return b
}

var demoFile struct {
	sync.Mutex
	content []byte
}

// demoBook is a new copy of the demo book, which is written only once.
func demoBook(t testing.TB) *Book {
	t.Helper()
	demoFile.Lock()
	defer demoFile.Unlock()
	if demoFile.content == nil {
		b := newBook(t)
		demo(t, b)
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
		content, err := os.ReadFile(b.path)
		if err != nil {
			t.Fatal(err)
		}
		demoFile.content = content
	}
	path := filepath.Join(t.TempDir(), "book.db")
	if err := os.WriteFile(path, demoFile.content, 0o600); err != nil {
		t.Fatal(err)
	}
	b, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return b
}

// must1 is for calls that cannot fail in a sound test.
func must1[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func demoPicture(t testing.TB, shade uint8) []byte {
	m := image.NewRGBA(image.Rect(0, 0, 6, 4))
	for i := range m.Pix {
		m.Pix[i] = shade + uint8(i)
	}
	m.SetRGBA(0, 0, color.RGBA{200, 150, 120, 255})
	var out bytes.Buffer
	if err := png.Encode(&out, m); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func flat(r float64) *colour.Spectrum {
	var s colour.Spectrum
	for i := range s {
		s[i] = r + float64(i)/1000
	}
	return &s
}

// demo fills a book with one or more of every kind of record and every field.
func demo(t testing.TB, b *Book) {
	t.Helper()
	ctx := t.Context()
	id := must1[int64](t)
	gold := id(Add(ctx, b, Powder{Name: "Pale gold demo", Family: "gold", Source: "demo", Note: "the everyday one",
		Document: json.RawMessage(`{"layers": "rutile:75", "d50_um": 20}`), RecordedAt: demoTime}))
	bronze := id(Add(ctx, b, Powder{Name: "Bronze demo", Family: "bronze", Source: "demo", RecordedAt: demoTime}))
	id(Add(ctx, b, Powder{Name: "=Old silver", Source: "modelled", RetiredOn: "2026-01-01", RecordedAt: demoTime}))
	goldA := id(b.AddLot(ctx, Lot{PowderID: gold, Lot: "G-0117", Supplier: "a demo supplier", ReceivedOn: "2026-01-10",
		ExpiresOn: "2029-01-10", PricePerG: new(0.42), Strength: new(1.0), ShadeShiftDE00: new(0.3), RecordedAt: demoTime}, 50))
	goldB := id(b.AddLot(ctx, Lot{PowderID: gold, Lot: "G-0245", ReceivedOn: "2026-02-20", RecordedAt: demoTime}, 100))
	bronzeA := id(b.AddLot(ctx, Lot{PowderID: bronze, Lot: "B-9", ReceivedOn: "2026-01-10", RecordedAt: demoTime}, 25.5))
	id(Add(ctx, b, Movement{LotID: goldA, Kind: "spilt", Grams: -0.3, MovedOn: "2026-02-01", Note: "on the floor,\n\"most\" of it", RecordedAt: demoTime}))

	ada := id(Add(ctx, b, Client{Name: "Dancer Ada (demo)", Note: "second row; colour seen at noon", RecordedAt: demoTime}))
	bel := id(Add(ctx, b, Client{Name: "Dancer Bel (demo)", RecordedAt: demoTime}))
	adaSkin := id(Add(ctx, b, Skin{ClientID: ada, Name: "Ada in winter", How: "average", Lab: colour.Lab{L: 44.2, A: 12.5, B: 19.25},
		SpreadDE00: new(0.7), Reflectance: flat(0.2), Document: json.RawMessage(`{"of":"Dancer Ada (demo)"}`), Note: "Ada", RecordedAt: demoTime}))
	preset := id(Add(ctx, b, Skin{Name: "light demo", How: "sliders", Lab: colour.Lab{L: 68, A: 8, B: 16}, RecordedAt: demoTime}))
	for i, place := range []string{"inner forearm", "inner forearm", "shoulder"} {
		id(Add(ctx, b, Reading{ClientID: ada, TakenOn: "2026-02-1" + string(rune('0'+i)), Place: place, How: "instrument", Seen: "skin",
			Instrument: "demo sphere", Geometry: "di", Lab: colour.Lab{L: 44 + float64(i)/3, A: 12.5, B: 19}, Reflectance: flat(0.2),
			RepeatabilityDE00: new(0.2), Document: json.RawMessage(`{"raw":[1,2,3]}`), Note: "Ada's arm", RecordedAt: demoTime}))
	}
	id(Add(ctx, b, Reading{ClientID: bel, TakenOn: "2026-02-12", Place: "shoulder", How: "photo", Seen: "skin", Lab: colour.Lab{L: 61, A: 10, B: 17}, RecordedAt: demoTime}))
	id(Add(ctx, b, Reading{SkinID: preset, TakenOn: "2026-02-12", How: "typed", Seen: "skin", Lab: colour.Lab{L: 68, A: 8, B: 16}, RecordedAt: demoTime}))

	black := id(Add(ctx, b, Reading{LotID: goldB, TakenOn: "2026-02-21", How: "instrument", Seen: "drawdown", Lab: colour.Lab{L: 40, A: 1, B: 8},
		Ground: "black", LoadPercent: new(5.0), ArealMgCM2: new(1.25), ArealErrorMgCM2: new(0.05), Reflectance: flat(0.1), RecordedAt: demoTime}))
	white := id(Add(ctx, b, Reading{LotID: goldB, TakenOn: "2026-02-21", How: "instrument", Seen: "drawdown", Lab: colour.Lab{L: 88, A: 1, B: 12},
		Ground: "white", LoadPercent: new(5.0), ArealMgCM2: new(1.25), ArealErrorMgCM2: new(0.05), Reflectance: flat(0.7), RecordedAt: demoTime}))
	id(Add(ctx, b, Fit{PowderID: gold, LotID: goldB, FittedOn: "2026-02-22", Verdict: "use with care", Why: "one load only", MeanDE00: 0.31,
		WorstDE00: 0.4, Strength: new(0.93), Geometry: "d:8", Document: json.RawMessage(`{"k":[0.1],"s":[2]}`), RecordedAt: demoTime,
		Readings: []FitReading{{ReadingID: black, ResidualDE00: 0.4}, {ReadingID: white, ResidualDE00: 0.22}}}))

	blend := id(Add(ctx, b, Blend{Name: "Ada, warm, second act", ClientID: ada, SkinID: adaSkin, Base: "demo lotion", Skin: &colour.Lab{L: 44.2, A: 12.5, B: 19.25},
		Target: &colour.Lab{L: 50, A: 12, B: 26}, Predicted: &colour.Lab{L: 49.8, A: 12.1, B: 25.7}, DE00: 0.28, DE00At95: new(1.4), LoadPercent: 4,
		AppliedMgCM2: new(1.5), Request: json.RawMessage(`{"skin":"Ada in winter","target":"skin:6,7,10"}`), Document: json.RawMessage(`{"blends":[{"de00":0.28}]}`),
		Note: "for Ada", RecordedAt: demoTime, Powders: []BlendPowder{
			{PowderName: "Pale gold demo", Lot: "G-0117", Percent: 3}, {PowderName: "Bronze demo", LotID: bronzeA, Percent: 1}}}))
	plain := id(Add(ctx, b, Blend{Name: "house gold", Target: &colour.Lab{L: 70, A: 8, B: 22}, Predicted: &colour.Lab{L: 70, A: 8, B: 22}, LoadPercent: 2,
		Request: json.RawMessage(`{"target":"#d8b48a"}`), RecordedAt: demoTime, Powders: []BlendPowder{{PowderName: "Pale gold demo", Percent: 2}}}))

	made := id(Add(ctx, b, Batch{Name: "Ada's, opening night", BlendID: blend, ClientID: ada, Base: "demo lotion", MadeOn: "2026-02-14", PlannedG: 100,
		MadeG: new(98.6), LoadPercent: 4, Containers: new(int64(2)), ContainerML: new(50.0), Cost: new(7.35), Request: json.RawMessage(`{"grams":100}`),
		Document: json.RawMessage(`{"steps":["weigh"]}`), Note: "Ada liked it", RecordedAt: demoTime, Weights: []Weight{
			{Role: "powder", Name: "Pale gold demo", Lot: "g-0117", PlannedG: 3, WeighedG: new(3.01)},
			{Role: "powder", Name: "Bronze demo", Lot: "B-9", PlannedG: 1, WeighedG: new(0.98)},
			{Role: "base", Name: "demo lotion", Lot: "LOT-7", PlannedG: 96, WeighedG: new(96.1)}}}))
	id(Add(ctx, b, Batch{Name: "house gold", BlendID: plain, PlannedG: 50, LoadPercent: 2, RecordedAt: demoTime, Weights: []Weight{
		{Role: "powder", Name: "Pale gold demo", Lot: "G-0245", PlannedG: 1}, {Role: "base", Name: "demo oil", PlannedG: 49}}}))
	onAda := id(Add(ctx, b, Reading{ClientID: ada, BatchID: made, TakenOn: "2026-02-15", How: "instrument", Seen: "skin", Lab: colour.Lab{L: 49, A: 12, B: 24}, RecordedAt: demoTime}))
	id(Add(ctx, b, Reading{BatchID: made, TakenOn: "2026-02-15", How: "instrument", Seen: "jar", Lab: colour.Lab{L: 60, A: 10, B: 30}, RecordedAt: demoTime}))
	id(Add(ctx, b, Correction{BatchID: made, ReadingID: onAda, MadeOn: "2026-02-15", How: "instrument", Seen: "skin", Measured: &colour.Lab{L: 49, A: 12, B: 24},
		DE00Before: new(1.9), DE00Predicted: new(0.4), BeforeG: 98.6, AfterG: new(98.9), Request: json.RawMessage(`{"growth":0.01}`),
		Document: json.RawMessage(`{"ok":true}`), Note: "Ada again", RecordedAt: demoTime,
		Weights: []Weight{{Role: "powder", Name: "Pale gold demo", Lot: "G-0117", PlannedG: 0.3, WeighedG: new(0.3)}}}))

	id(Add(ctx, b, Photo{ClientID: ada, SkinID: adaSkin, ReadingID: 1, TakenOn: "2026-02-10", Place: "inner forearm", Note: "Ada", Data: demoPicture(t, 10), RecordedAt: demoTime}))
	id(Add(ctx, b, Photo{BatchID: made, BlendID: blend, TakenOn: "2026-02-14", Data: demoPicture(t, 60), RecordedAt: demoTime}))
	id(Add(ctx, b, Photo{LotID: goldB, TakenOn: "2026-02-20", Note: "smear", Data: demoPicture(t, 110), RecordedAt: demoTime}))
	id(Add(ctx, b, File{ClientID: ada, BlendID: blend, BatchID: made, Path: "/demo/bench of Ada/sheet.txt", RecordedAt: demoTime}))
	id(Add(ctx, b, File{BlendID: plain, Path: "/demo/bench/card.png", RecordedAt: demoTime}))
	// AddLot writes movements by the clock; the demo's are of a fixed time.
	if _, err := b.db.ExecContext(ctx, "UPDATE movement SET recorded_at = '2026-03-02T09:30:00Z'"); err != nil {
		t.Fatal(err)
	}
}
