package book

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"tawny/colour"
)

// What a book of the first edition held, as its program wrote it.
const firstEdition = `
INSERT INTO powder (id, name, family, source, recorded_at) VALUES (1, 'russet', 'russet', 'modelled', 't'), (2, 'Russet of mine', '', 'demo', 't');
INSERT INTO lot (id, powder_id, lot, note, recorded_at) VALUES (1, 1, 'R-1', 'from Zoe' || char(776) || char(146) || 's', 't');
INSERT INTO client (id, name, recorded_at) VALUES (1, 'Zo' || char(235), 't'), (2, 'Zoe' || char(776), 't');
INSERT INTO skin (id, name, how, lab_l, lab_a, lab_b, document, recorded_at) VALUES (1, 'winter', 'reading', 44, 12, 19, '{"text":"lab:44,12,19@A/10/spex"}', 't');
INSERT INTO reading (id, taken_on, how, seen, geometry, instrument, lab_l, lab_a, lab_b, document, recorded_at) VALUES
 (1, '2026-03-01', 'typed', 'skin', 'gloss excluded', '', 44, 12, 19, '{"text":"lab:44,12,19/spex"}', 't'),
 (2, '2026-03-01', 'typed', 'skin', 'gloss included', '', 44, 12, 19, '{"text":"lab:44,12,19"}', 't'),
 (3, '2026-03-01', 'photo', 'skin', '', '', 44, 12, 19, '{"text":"#b98a6e/spex"}', 't'),
 (4, '2026-03-01', 'instrument', 'skin', '45°:0°', 'demo', 44, 12, 19, NULL, 't'),
 (5, '2026-03-01', 'instrument', 'skin', 'd:8 SCE', 'demo', 44, 12, 19, NULL, 't'),
 (6, '2026-03-01', 'instrument', 'skin', 'd:8', '', 44, 12, 19, NULL, 't'),
 (7, '2026-03-01', 'instrument', 'skin', '', 'demo', 44, 12, 19, NULL, 't');
INSERT INTO blend (id, name, target_l, target_a, target_b, predicted_l, predicted_a, predicted_b, de00, load_percent, request, document, recorded_at) VALUES
 (1, 'russet evening', 50, 12, 26, 47, 12, 18, 4.8, 3,
 '{"skin":"lab:44,12,19/spex","target":"lab:50,12,26/spex","mostPowders":2,"palette":"/home/me/spex/drawer.csv","only":["russet","wine","bronze"],"parts":["Russet=2","wine = 1"],"title":"russet evening","bench":{"labourHours":2},"page":"?x=1"}',
 '{"title":"russet evening","skin":{"text":"lab:44,12,19/spex"}}', 't');
INSERT INTO blend_powder (blend_id, position, powder_name, powder_id, lot_id, lot, percent) VALUES (1, 1, 'russet', 1, 1, 'R-1', 2), (1, 2, 'wine', NULL, NULL, '', 1);
INSERT INTO batch (id, name, planned_g, load_percent, recorded_at) VALUES (1, 'b', 100, 3, 't');
INSERT INTO batch_weight (batch_id, position, role, name, planned_g) VALUES (1, 1, 'powder', 'wine', 3), (1, 2, 'base', 'wine', 97);
`

// A book of the first edition has the second's names once it is opened, and
// nothing else of it is changed.
func TestNamesOfTheSecondEdition(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	path := filepath.Join(t.TempDir(), "book.db")
	old := bookAt(t, path, namesStep-1)
	if _, err := old.Exec(strings.ReplaceAll(firstEdition, "'t'", "'2026-03-02T09:30:00Z'")); err != nil {
		t.Fatal(err)
	}
	old.Close()
	b := must1[*Book](t)(Open(ctx, path))
	defer b.Close()
	if found, err := b.Check(ctx); err != nil || len(found) > 3 { // a planned weight and load that do not add up, and the second of two clients of one name
		t.Errorf("%v %v", found, err)
	}
	powders := must1[[]Powder](t)(All[Powder](ctx, b))
	if powders[0].Name != "fox" || powders[0].Family != "fox" || powders[1].Name != "Russet of mine" {
		t.Errorf("%+v", powders)
	}
	if l := must1[Lot](t)(Get[Lot](ctx, b, 1)); l.Note != "from Zoë\ufffds" {
		t.Errorf("%q", l.Note)
	}
	if c := must1[[]Client](t)(All[Client](ctx, b)); len(c) != 2 || c[0].Name == c[1].Name {
		t.Errorf("two clients of one name: %+v", c)
	}
	for i, want := range []Reading{
		{Geometry: "de", Document: json.RawMessage(`{"text":"lab:44,12,19/de"}`)},
		{Geometry: "", Document: json.RawMessage(`{"text":"lab:44,12,19"}`)},
		{Geometry: "photo", Document: json.RawMessage(`{"text":"#b98a6e/de"}`)},
		{Geometry: "45", Instrument: "demo, 45°:0°"},
		{Geometry: "de", Instrument: "demo, d:8 SCE"},
		{Geometry: "", Instrument: "d:8"},
		{Geometry: "", Instrument: "demo"},
	} {
		r := must1[Reading](t)(Get[Reading](ctx, b, int64(i+1)))
		if r.Geometry != want.Geometry || r.Instrument != want.Instrument || string(r.Document) != string(want.Document) {
			t.Errorf("reading %d: %q %q %s, want %+v", r.ID, r.Geometry, r.Instrument, r.Document, want)
		}
	}
	if s := must1[Skin](t)(Get[Skin](ctx, b, 1)); string(s.Document) != `{"text":"lab:44,12,19@A/10/de"}` {
		t.Errorf("%s", s.Document)
	}
	blend := must1[Blend](t)(Get[Blend](ctx, b, 1))
	asked := `{"drawer":"/home/me/spex/drawer.csv","job":"book save","labour-hours":2,"max":2,"only":["fox","mulberry","bronze"],` +
		`"part":["fox=2","mulberry= 1"],"skin":"lab:44,12,19/de","target":"lab:50,12,26/de","title":"russet evening","version":2}`
	if string(blend.Request) != asked {
		t.Errorf("asked\n%s, want\n%s", blend.Request, asked)
	}
	if string(blend.Document) != `{"title":"russet evening","skin":{"text":"lab:44,12,19/de"}}` || blend.Name != "russet evening" {
		t.Errorf("%s %s", blend.Name, blend.Document)
	}
	if blend.Powders[0].PowderName != "fox" || blend.Powders[0].LotID != 1 || blend.Powders[1].PowderName != "mulberry" {
		t.Errorf("%+v", blend.Powders)
	}
	if w := must1[Batch](t)(Get[Batch](ctx, b, 1)).Weights; w[0].Name != "mulberry" || w[1].Name != "wine" {
		t.Errorf("%+v", w)
	}
}

// Where another powder has the new name already, the old one stays.
func TestNameTaken(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	path := filepath.Join(t.TempDir(), "book.db")
	old := bookAt(t, path, namesStep-1)
	if _, err := old.Exec("INSERT INTO powder (name, source, recorded_at) VALUES ('Fox', 'demo', '2026-03-02T09:30:00Z'), ('russet', 'demo', '2026-03-02T09:30:00Z')"); err != nil {
		t.Fatal(err)
	}
	old.Close()
	b := must1[*Book](t)(Open(ctx, path))
	defer b.Close()
	if p := must1[[]Powder](t)(All[Powder](ctx, b)); p[0].Name != "Fox" || p[1].Name != "russet" {
		t.Errorf("%+v", p)
	}
}

// A book from before targets could be forgotten keeps all that it has of a blend that is
// for somebody; what forgetting left of another's goes, from its file and its backups, and
// a forget after it leaves no colour of the first either. A label pasted without a word
// that it is one is read as the label it was.
func TestColoursOfTheForgotten(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	path := filepath.Join(t.TempDir(), "book.db")
	old := bookAt(t, path, emptiedStep-1)
	_, err := old.Exec(strings.ReplaceAll(`INSERT INTO client (id, name, recorded_at) VALUES (2, 'Dancer Bel (demo)', 't');
INSERT INTO blend (id, name, client_id, skin_l, skin_a, skin_b, target_l, target_a, target_b, predicted_l, predicted_a, predicted_b, de00, load_percent, applied_mg_cm2, request, note, recorded_at, skin_geometry, geometry) VALUES
 (1, '', NULL, NULL, NULL, NULL, 63.41, 13.47, 21.53, 63.59, 13.61, 21.67, 0.3, 3, 1, NULL, '', 't', '', 'di'),
 (2, 'Bel', 2, 61.37, 11.43, 17.89, 64.41, 14.47, 22.53, 64.59, 14.61, 22.67, 0.4, 3, 1, '{"skin":"tan"}', 'n', 't', 'de', 'di');
INSERT INTO blend_powder (blend_id, position, powder_name, percent) VALUES (1, 1, 'gold', 3), (2, 1, 'bronze', 3);
INSERT INTO batch (id, blend_id, planned_g, load_percent, request, recorded_at) VALUES
 (1, 1, 100, 3, '{"base":"recipe:Aqua, Glycerin, Caprylic/Capric Triglyceride, Phenoxyethanol\nname: Bought demo","grams":100,"part":["gold=3"]}', 't'),
 (2, 2, 100, 3, '{"base":"recipe:water 70 %, glycerin 30","grams":100,"part":["bronze=3"]}', 't'),
 (3, 2, 100, 3, '{"base":"recipe:two cups of oil","grams":100}', 't');`, "'t'", "'2026-03-02T09:30:00Z'"))
	if err := errors.Join(err, old.Close()); err != nil {
		t.Fatal(err)
	}
	b := must1[*Book](t)(Open(ctx, path))
	defer b.Close()
	if found, err := b.Check(ctx); err != nil || len(found) > 0 {
		t.Errorf("%v %v", found, err)
	}
	forgotten, kept := must1[Blend](t)(Get[Blend](ctx, b, 1)), must1[Blend](t)(Get[Blend](ctx, b, 2))
	if forgotten.Target != nil || forgotten.Predicted != nil || len(forgotten.Powders) != 1 || forgotten.LoadPercent != 3 {
		t.Errorf("%+v", forgotten)
	}
	was := Blend{ID: 2, Name: "Bel", ClientID: 2, Skin: &colour.Lab{L: 61.37, A: 11.43, B: 17.89}, Target: &colour.Lab{L: 64.41, A: 14.47, B: 22.53},
		Predicted: &colour.Lab{L: 64.59, A: 14.61, B: 22.67}, DE00: 0.4, LoadPercent: 3, AppliedMgCM2: new(1.0), Request: json.RawMessage(`{"skin":"tan"}`),
		Note: "n", RecordedAt: demoTime, SkinGeometry: "de", Geometry: "di", Powders: []BlendPowder{{BlendID: 2, Position: 1, PowderName: "bronze", Percent: 3}}}
	if !reflect.DeepEqual(kept, was) {
		t.Errorf("%+v, was %+v", kept, was)
	}
	needles := map[string][]byte{}
	for _, x := range []float64{63.41, 13.47, 21.53, 63.59, 13.61, 21.67} {
		needles[fmt.Sprint(x)] = asStored(x)
	}
	if found := traces(t, b, needles); len(found) > 0 {
		t.Errorf("of one forgotten before there is still %v", found)
	}
	for id, want := range map[int64]string{
		1: `{"base":"recipe:Aqua, Glycerin, Caprylic/Capric Triglyceride, Phenoxyethanol\nname: Bought demo\nkind: ready","grams":100,"part":["gold=3"]}`,
		2: `{"base":"recipe:water 70 %, glycerin 30","grams":100,"part":["bronze=3"]}`,
		3: `{"base":"recipe:two cups of oil","grams":100}`,
	} {
		if asked := must1[Batch](t)(Get[Batch](ctx, b, id)).Request; string(asked) != want {
			t.Errorf("batch %d asks %s, want %s", id, asked, want)
		}
	}
	clear(needles)
	for _, x := range []float64{61.37, 11.43, 17.89, 64.41, 14.47, 22.53, 64.59, 14.61, 22.67} {
		needles[fmt.Sprint(x)] = asStored(x)
	}
	if found := traces(t, b, needles); len(found) < len(needles) {
		t.Fatalf("the search itself finds only %v", found)
	}
	must1[Forgotten](t)(b.Forget(ctx, "Dancer Bel (demo)", false, true))
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if found := traces(t, b, needles); len(found) > 0 {
		t.Errorf("once forgotten there is still %v", found)
	}
}

// An export from before files were noted has no table of them.
func TestImportWithoutFiles(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	if _, err := b.db.Exec("DELETE FROM file; DELETE FROM sqlite_sequence WHERE name = 'file'"); err != nil {
		t.Fatal(err)
	}
	want := exportJSON(t, b, ExportOptions{Clients: true})
	files := csvFiles(t, b)
	delete(files, "file.csv")
	for _, f := range files {
		f.Data = bytes.Replace(f.Data, []byte("# schema: 12\n"), []byte("# schema: 8\n"), 1)
	}
	other := newBook(t)
	if _, err := other.ImportCSV(t.Context(), files); err != nil {
		t.Fatal(err)
	}
	if got := exportJSON(t, other, ExportOptions{Clients: true}); got != want {
		t.Error("the book imported is another")
	}
}

// An export of the first edition goes through the same.
func TestImportOfTheFirstEdition(t *testing.T) {
	t.Parallel()
	export := exportJSON(t, demoBook(t), ExportOptions{Clients: true})
	for old, of := range map[string]string{
		`"schema": 7`: `"schema": 12`, `"name":"russet"`: `"name":"Bronze demo"`, `"powder_name":"russet"`: `"powder_name":"Bronze demo"`,
		`"geometry":"d:8 SCI"`: `"geometry":"di"`, `{"skin":"Ada in winter","palette":"a.csv"`: `{"skin":"Ada in winter"`,
		`"recorded_at":"2026-03-02T09:30:00Z"}`: `"recorded_at":"2026-03-02T09:30:00Z","held":""}`,
	} {
		if !strings.Contains(export, of) {
			t.Fatalf("%s is not in the demo book", of)
		}
		export = strings.ReplaceAll(export, of, old)
	}
	b := newBook(t)
	if _, err := b.ImportJSON(t.Context(), strings.NewReader(export)); err != nil {
		t.Fatal(err)
	}
	got := exportJSON(t, b, ExportOptions{Clients: true})
	for _, want := range []string{`"name":"fox"`, `"powder_name":"fox"`, `"geometry":"di"`, `"instrument":"demo sphere, d:8 SCI"`,
		`"request":{"drawer":"a.csv","job":"book save","skin":"Ada in winter"`} {
		if !strings.Contains(got, want) {
			t.Errorf("%s is not in what was imported", want)
		}
	}
}
