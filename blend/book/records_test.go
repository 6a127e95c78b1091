package book

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"hash/crc32"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"tawny/colour"
)

// Every kind of record comes back as it was written, field by field.
func TestRecordsComeBack(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	lab := func(l, a, b float64) string {
		text, _ := json.Marshal(colour.Lab{L: l, A: a, B: b})
		return string(text)
	}
	for kind, want := range map[Kind]string{
		Powders:   `{"id":1,"name":"Pale gold demo","family":"gold","source":"demo","note":"the everyday one","document":{"layers":"rutile:75","d50_um":20},"recorded_at":"2026-03-02T09:30:00Z"}`,
		Lots:      `{"id":1,"powder_id":1,"lot":"G-0117","supplier":"a demo supplier","received_on":"2026-01-10","expires_on":"2029-01-10","price_per_g":0.42,"strength":1,"shade_shift_de00":0.3,"recorded_at":"2026-03-02T09:30:00Z"}`,
		Movements: `{"id":1,"lot_id":1,"kind":"bought","grams":50,"moved_on":"2026-01-10","recorded_at":"2026-03-02T09:30:00Z"}`,
		Clients:   `{"id":1,"name":"Dancer Ada (demo)","note":"second row; colour seen at noon","recorded_at":"2026-03-02T09:30:00Z"}`,
		Blends: `{"id":1,"name":"Ada, warm, second act","client_id":1,"skin_id":1,"base":"demo lotion","skin":` + lab(44.2, 12.5, 19.25) + `,"de00":0.28,"de00_95":1.4,"load_percent":4,"applied_mg_cm2":1.5,"request":{"skin":"Ada in winter","target":"skin:6,7,10"},` +
			`"document":{"blends":[{"de00":0.28}]},"note":"for Ada","recorded_at":"2026-03-02T09:30:00Z","target":` + lab(50, 12, 26) + `,"predicted":` + lab(49.8, 12.1, 25.7) + `,"powders":[` +
			`{"blend_id":1,"position":1,"powder_name":"Pale gold demo","powder_id":1,"lot_id":1,"lot":"G-0117","percent":3},` +
			`{"blend_id":1,"position":2,"powder_name":"Bronze demo","powder_id":2,"lot_id":3,"lot":"B-9","percent":1}]}`,
		Batches: `{"id":1,"name":"Ada's, opening night","blend_id":1,"client_id":1,"base":"demo lotion","made_on":"2026-02-14","planned_g":100,"made_g":98.6,"load_percent":4,` +
			`"containers":2,"container_ml":50,"cost":7.35,"request":{"grams":100},"document":{"steps":["weigh"]},"note":"Ada liked it","recorded_at":"2026-03-02T09:30:00Z","weights":[` +
			`{"position":1,"role":"powder","name":"Pale gold demo","powder_id":1,"lot_id":1,"lot":"G-0117","planned_g":3,"weighed_g":3.01},` +
			`{"position":2,"role":"powder","name":"Bronze demo","powder_id":2,"lot_id":3,"lot":"B-9","planned_g":1,"weighed_g":0.98},` +
			`{"position":3,"role":"base","name":"demo lotion","lot":"LOT-7","planned_g":96,"weighed_g":96.1}]}`,
		Corrections: `{"id":1,"batch_id":1,"reading_id":8,"made_on":"2026-02-15","how":"instrument","seen":"skin","measured":` + lab(49, 12, 24) + `,"de00_before":1.9,"de00_predicted":0.4,` +
			`"before_g":98.6,"after_g":98.9,"request":{"growth":0.01},"document":{"ok":true},"note":"Ada again","recorded_at":"2026-03-02T09:30:00Z","weights":[` +
			`{"position":1,"role":"powder","name":"Pale gold demo","powder_id":1,"lot_id":1,"lot":"G-0117","planned_g":0.3,"weighed_g":0.3}]}`,
		Fits: `{"id":1,"powder_id":1,"lot_id":2,"fitted_on":"2026-02-22","verdict":"use with care","why":"one load only","mean_de00":0.31,"worst_de00":0.4,"strength":0.93,"geometry":"d:8",` +
			`"document":{"k":[0.1],"s":[2]},"recorded_at":"2026-03-02T09:30:00Z","readings":[{"fit_id":1,"reading_id":6,"residual_de00":0.4},{"fit_id":1,"reading_id":7,"residual_de00":0.22}]}`,
	} {
		got, err := b.Show(ctx, kind, 1)
		if err != nil {
			t.Errorf("%s: %v", kind, err)
			continue
		}
		text, _ := json.Marshal(got)
		if string(text) != want {
			t.Errorf("%s:\n%s\nwant\n%s", kind, text, want)
		}
	}
	r, err := Get[Reading](ctx, b, 6)
	if err != nil || *r.Reflectance != *flat(0.1) || r.Ground != "black" || *r.ArealErrorMgCM2 != 0.05 || r.Lab != (colour.Lab{L: 40, A: 1, B: 8}) {
		t.Errorf("%+v %v", r, err)
	}
	s, err := Get[Skin](ctx, b, 1)
	if err != nil || *s.Reflectance != *flat(0.2) || s.Lab.B != 19.25 || *s.SpreadDE00 != 0.7 {
		t.Errorf("%+v %v", s, err)
	}
	p, err := Get[Photo](ctx, b, 2)
	if err != nil || !bytes.Equal(p.Data, demoPicture(t, 60)) || p.MediaType != "image/png" || p.WidthPx != 6 || p.HeightPx != 4 || len(p.SHA256) != 64 {
		t.Errorf("%+v %v", p, err)
	}
}

// Every kind lists as many lines as it has records, each with something to say.
func TestList(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	want := map[Kind]int{Powders: 3, Lots: 3, Movements: 4, Fits: 1, Skins: 2, Readings: 9, Blends: 2, Batches: 2, Corrections: 1, Photos: 3, Files: 2, Clients: 2}
	for _, kind := range Kinds {
		entries, err := b.List(ctx, kind)
		if err != nil || len(entries) != want[kind] {
			t.Errorf("%s: %d (%v), want %d", kind, len(entries), err, want[kind])
		}
		for _, e := range entries {
			if e.Title == "" || e.Says == "" || e.ID == 0 {
				t.Errorf("%s: %+v", kind, e)
			}
			if _, err := b.Show(ctx, kind, e.ID); err != nil {
				t.Error(err)
			}
		}
		if _, err := b.Show(ctx, kind, 999); !errors.Is(err, ErrNotFound) {
			t.Errorf("%s 999: %v", kind, err)
		}
		if k, err := ParseKind(strings.ToUpper(string(kind))); err != nil || k != kind {
			t.Errorf("%s: %v", kind, err)
		}
	}
	if len(Kinds) != len(want) {
		t.Errorf("%v", Kinds)
	}
	for _, bad := range []string{"", "spoons", "batch_weight"} {
		if _, err := ParseKind(bad); err == nil || !strings.Contains(err.Error(), "batches") {
			t.Errorf("%q: %v", bad, err)
		}
		if _, err := b.List(ctx, Kind(bad)); err == nil {
			t.Errorf("listed %q", bad)
		}
	}
}

// Bad records are refused with the field and what it takes, and nothing of
// them is written.
func TestBadRecordsAreRefused(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	before := exportJSON(t, b, ExportOptions{Clients: true})
	err1 := func(_ int64, err error) error { return err }
	for _, c := range []struct {
		err  error
		says string
	}{
		{err1(Add(ctx, b, Powder{Source: "demo"})), `powder "": name: empty; give some text`},
		{err1(Add(ctx, b, Powder{Name: "pale GOLD demo", Source: "demo"})), `powder "pale GOLD demo": name: already used by another record`},
		{err1(Add(ctx, b, Powder{Name: "x", Source: "demo", Document: json.RawMessage("{")})), `document: not JSON`},
		{err1(Add(ctx, b, Powder{Name: "x", Source: "demo", Note: strings.Repeat("long ", 5000)})), `note: 25000 bytes long; at most 20000 fit`},
		{err1(b.AddLot(ctx, Lot{PowderID: 9, Lot: "x"}, 1)), `lot "x": powder_id: there is no powder 9`},
		{err1(b.AddLot(ctx, Lot{PowderID: 1, Lot: "g-0117"}, 1)), `powder_id and lot: already used by another record`},
		{err1(b.AddLot(ctx, Lot{PowderID: 1, Lot: "new"}, -1)), `bought_g: cannot be less than 0`},
		{err1(b.AddLot(ctx, Lot{PowderID: 1, Lot: "new"}, math.NaN())), `grams: NaN will not do`},
		{err1(b.AddLot(ctx, Lot{PowderID: 1, Lot: "new", ReceivedOn: "2026-13-01"}, 1)), `received_on: "2026-13-01" is not a day`},
		{err1(Add(ctx, b, Movement{LotID: 1, Kind: "spilt", Grams: 1})), `grams: what is spilt goes out; give grams below 0`},
		{err1(Add(ctx, b, Movement{LotID: 1, Kind: "given", Grams: 1})), `grams: what is given goes out; give grams below 0`},
		{err1(Add(ctx, b, Movement{LotID: 1, Kind: "returned", Grams: 1})), `grams: what is returned goes out; give grams below 0`},
		{err1(Add(ctx, b, Movement{LotID: 1, Kind: "bought", Grams: -1})), `grams: what is bought comes in`},
		{err1(Add(ctx, b, Movement{LotID: 1, Kind: "lost", Grams: -1})), `kind: "lost" will not do; give one of: bought, counted, spilt, given, returned, adjusted`},
		{err1(Add(ctx, b, Client{Name: "DANCER ADA (demo)"})), `name: already used by another record`},
		{err1(Add(ctx, b, Skin{How: "hex", Lab: colour.Lab{L: math.Inf(1)}})), `lab_l: +Inf will not do; give a number from -1 to 1000`},
		{err1(Add(ctx, b, Reading{How: "guess", Seen: "skin"})), `how: "guess" will not do; give one of: instrument, photo, by eye, typed`},
		{err1(Add(ctx, b, Reading{How: "typed", Seen: "skin", ClientID: 7})), `client_id: there is no client 7`},
		{err1(Add(ctx, b, Reading{How: "typed", Seen: "skin", Reflectance: flat(math.NaN())})), `reflectance: not JSON`},
		{err1(Add(ctx, b, Blend{DE00: -1})), `de00: -1 will not do; give a number from 0 to 1000`},
		{err1(Add(ctx, b, Blend{Powders: []BlendPowder{{PowderName: "Bronze demo", LotID: 3}, {PowderName: "Bronze demo", LotID: 1}}})),
			`powder 2: powder_id: powder 1 is "Pale gold demo", not "Bronze demo"`},
		{err1(Add(ctx, b, Batch{PlannedG: 1, Weights: []Weight{{Role: "powder", Name: "Bronze demo", PlannedG: 1, WeighedG: new(-0.1)}}})),
			`batch "", weight 1: weighed_g: -0.1 will not do; give a number from 0 to 1000000`},
		{err1(Add(ctx, b, Batch{PlannedG: 1, Weights: []Weight{{Role: "base", Name: "oil", PowderID: 1}}})), `role: an ingredient of the base has no powder`},
		{err1(Add(ctx, b, Batch{PlannedG: 1, Weights: []Weight{{Role: "powder", Name: "x", LotID: 99}}})), `lot 99: not in the book`},
		{err1(Add(ctx, b, Batch{PlannedG: 1, BlendID: 44})), `blend_id: there is no blend 44`},
		{err1(Add(ctx, b, Correction{BatchID: 5, How: "typed", Seen: "jar"})), `batch_id: there is no batch 5`},
		{err1(Add(ctx, b, Fit{PowderID: 1, Verdict: "fine"})), `verdict: "fine" will not do; give one of: holds, use with care, does not hold`},
		{err1(Add(ctx, b, Fit{PowderID: 1, Verdict: "holds", Readings: []FitReading{{ReadingID: 99}}})), `reading 1: reading_id: there is no reading 99`},
		{err1(Add(ctx, b, Photo{Data: []byte("GIF89a")})), `data: not a picture the book can keep; give a JPEG or PNG`},
		{err1(Add(ctx, b, Photo{Data: make([]byte, MaxPhotoBytes+1)})), `data: 12.0 MiB; give a JPEG or PNG of at most 12 MiB`},
		{err1(Add(ctx, b, Photo{Data: hugePicture(t)})), `data: 20000 × 20000 pixels; at most 60 million`},
		{b.Weigh(ctx, Batches, 1, "", nil, nil, []Weighing{{Position: 9, WeighedG: new(1.0)}}), `batch 1, weight 9: not in the book`},
		{b.Weigh(ctx, Batches, 1, "", nil, nil, []Weighing{{Position: 1, WeighedG: new(1.0)}, {Position: 2, WeighedG: new(math.NaN())}}), `batch 1, weight 2: weighed_g: NaN will not do`},
		{b.Weigh(ctx, Batches, 9, "", nil, nil, nil), `batch 9: not in the book`},
		{b.Set(ctx, Clients, 9, "name", "nobody"), `client 9: not in the book`},
	} {
		if c.err == nil || !strings.Contains(c.err.Error(), c.says) {
			t.Errorf("%v\nwant %s", c.err, c.says)
		}
	}
	if _, err := b.CountStock(ctx, 1, -1, ""); err == nil || !strings.Contains(err.Error(), "left_g: -1 will not do") {
		t.Error(err)
	}
	if _, err := b.CountStock(ctx, 9, 1, ""); !errors.Is(err, ErrNotFound) {
		t.Error(err)
	}
	if exportJSON(t, b, ExportOptions{Clients: true}) != before {
		t.Error("something of a refused record was written")
	}
}

// hugePicture says it has 400 million pixels in a few bytes.
func hugePicture(t *testing.T) []byte {
	p := demoPicture(t, 0)
	size := bytes.Index(p, []byte{0, 0, 0, 6, 0, 0, 0, 4})
	copy(p[size:], []byte{0, 0, 0x4e, 0x20, 0, 0, 0x4e, 0x20})
	// The header's own checksum, CRC-32 of its 17 bytes from the type on.
	sum := crc(p[size-4 : size+13])
	copy(p[size+13:], sum[:])
	return p
}

// Records can be put right, and taken out where nothing stands on them.
func TestUpdateAndDelete(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	p, err := Get[Powder](ctx, b, 2)
	if err != nil {
		t.Fatal(err)
	}
	p.Name = "Dark bronze demo"
	if err := b.Set(ctx, Powders, 2, "name", p.Name); err != nil {
		t.Fatal(err)
	}
	if got, err := Named[Powder](ctx, b, "dark bronze demo"); err != nil || !reflect.DeepEqual(got, p) {
		t.Errorf("%+v %v, want %+v", got, err, p)
	}
	for _, c := range []struct {
		kind Kind
		id   int64
		says string
	}{
		{Powders, 1, "lot 1 is one"}, {Lots, 1, "movement 4 is one"}, {Skins, 1, "blend 1 is one"}, {Blends, 2, "batch 2 is one"},
		{Readings, 6, "fit 1 is one"}, {Readings, 8, "correction 1 is one"},
	} {
		if err := b.Delete(ctx, c.kind, c.id); !errors.Is(err, ErrInUse) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("delete %s %d: %v, want %s", c.kind, c.id, err, c.says)
		}
	}
	for _, c := range []struct {
		kind Kind
		id   int64
	}{{Photos, 1}, {Fits, 1}, {Readings, 6}, {Batches, 2}, {Blends, 2}, {Powders, 3}} {
		if err := b.Delete(ctx, c.kind, c.id); err != nil {
			t.Errorf("delete %s %d: %v", c.kind, c.id, err)
		}
		if err := b.Delete(ctx, c.kind, c.id); !errors.Is(err, ErrNotFound) {
			t.Errorf("delete %s %d twice: %v", c.kind, c.id, err)
		}
	}
	if err := b.Delete(ctx, Clients, 1); err == nil || !strings.Contains(err.Error(), "forget") {
		t.Error(err)
	}
	for _, kind := range []Kind{Batches, Corrections} {
		if err := b.Delete(ctx, kind, 1); !errors.Is(err, ErrWeighed) || !strings.Contains(err.Error(), "Pale gold demo") {
			t.Errorf("%s 1, weighed: %v", kind, err)
		}
	}
	uses, err := b.UsesOfLot(ctx, "G-0117")
	if err != nil || len(uses) < 2 {
		t.Errorf("a recall finds %v %v", uses, err)
	}
	// A lot written by mistake goes with its buying; that of one used stays with it.
	lot := must1[int64](t)(b.AddLot(ctx, Lot{PowderID: 1, Lot: "SLIP"}, 7))
	if err := b.Delete(ctx, Lots, lot); err != nil {
		t.Error(err)
	}
	bought := must1[[]LotStock](t)(b.Stock(ctx))
	if slices.ContainsFunc(bought, func(l LotStock) bool { return l.Lot == "SLIP" || l.LotID == 1 && l.BoughtG == 0 }) {
		t.Errorf("left: %+v", bought)
	}
	if found, err := b.Check(ctx); err != nil || len(found) > 0 {
		t.Errorf("check: %v %v", found, err)
	}
}

func TestSetNoteAndName(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	if err := b.Set(ctx, Batches, 1, "note", "too much sparkle\r\nnext time less"); err != nil {
		t.Fatal(err)
	}
	if err := b.Set(ctx, Batches, 1, "name", "opening night"); err != nil {
		t.Fatal(err)
	}
	if batch, err := Get[Batch](ctx, b, 1); err != nil || batch.Note != "too much sparkle\nnext time less" || batch.Name != "opening night" || len(batch.Weights) != 3 {
		t.Errorf("%+v %v", batch, err)
	}
	for says, err := range map[string]error{
		"lot 1: name: a lot has none":                            b.Set(ctx, Lots, 1, "name", "x"),
		"powder 1: name: empty; give some text":                  b.Set(ctx, Powders, 1, "name", ""),
		"powder 1: name: already used by another record":         b.Set(ctx, Powders, 1, "name", "bronze DEMO"),
		"batch 9: not in the book":                               b.Set(ctx, Batches, 9, "note", "x"),
		"note: holds the control character U+0007; leave it out": b.Set(ctx, Batches, 1, "note", "\a"),
		"is not a kind of record":                                b.Set(ctx, "spoons", 1, "note", "x"),
	} {
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v\nwant %s", err, says)
		}
	}
}

// −0 is kept as 0, which is what SQLite gives back.
func TestMinusZero(t *testing.T) {
	t.Parallel()
	c := column{kind: number, low: -1, top: 1}
	if v, err := c.check(math.Copysign(0, -1)); err != nil || math.Signbit(v.(float64)) {
		t.Errorf("%v %v", v, err)
	}
}

func BenchmarkAddBatch(b *testing.B) {
	book := newBook(b)
	for b.Loop() {
		if _, err := Add(b.Context(), book, smallBatch("x")); err != nil {
			b.Fatal(err)
		}
	}
}

func crc(p []byte) (sum [4]byte) {
	binary.BigEndian.PutUint32(sum[:], crc32.ChecksumIEEE(p))
	return sum
}

// A name is one line of letters that can be printed, by whatever door it comes; a note
// is of as many lines as it has.
func TestNamesAreOneLine(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	b := newBook(t)
	who := must1[int64](t)(Add(ctx, b, Client{Name: "Dancer Ada (demo)", Note: "one\ntwo"}))
	export := exportJSON(t, b, ExportOptions{Clients: true})
	for _, name := range []string{"a\nb", "a\tb", "a\u202eb", "a\u2066b"} {
		_, add := Add(ctx, b, Client{Name: name})
		set := b.Set(ctx, Clients, who, "name", name)
		_, read := newBook(t).ImportJSON(ctx, strings.NewReader(strings.Replace(export, `"Dancer Ada (demo)"`, jsonString(name), 1)))
		for door, err := range map[string]error{"add": add, "set": set, "import": read} {
			if f, ok := errors.AsType[*FieldError](err); !ok || f.Field != "name" {
				t.Errorf("%s took %q: %v", door, name, err)
			}
		}
	}
	if _, err := b.db.Exec("UPDATE client SET name = 'a' || char(10) || 'b'"); err != nil {
		t.Fatal(err)
	}
	if found := must1[[]Finding](t)(b.Check(ctx)); len(found) != 1 || found[0].Field != "name" || found[0].Serious {
		t.Errorf("a name of two lines that is there: %v", found)
	}
}
