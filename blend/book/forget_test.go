package book

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"tawny/blend/batch"
	"tawny/blend/store"
	"tawny/colour"
)

// traces finds needles in the raw bytes of the book and all that lies beside it.
func traces(t *testing.T, b *Book, needles map[string][]byte) (found []string) {
	t.Helper()
	err := filepath.WalkDir(filepath.Dir(b.path), func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		content, err := os.ReadFile(path)
		for name, needle := range needles {
			if bytes.Contains(content, needle) {
				found = append(found, name+" in "+filepath.Base(path))
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// fillNeedles writes a client whose every trace can be told from all else, and
// another who stays. The client comes and goes from the pages in between, so
// that freed space is met too.
func fillNeedles(t *testing.T, b *Book) (gone, kept map[string][]byte) {
	t.Helper()
	ctx := t.Context()
	id := must1[int64](t)
	picture := append(demoPicture(t, 3), bytes.Repeat([]byte("XQ-PHOTO-TAIL "), 3000)...)
	who := id(Add(ctx, b, Client{Name: "Xaquira Demo", Note: "XQ-CLIENT-NOTE"}))
	skin := id(Add(ctx, b, Skin{ClientID: who, Name: "XQ-SKIN", How: "reading"}))
	for range 40 {
		id(Add(ctx, b, Reading{ClientID: who, Place: "XQ-PLACE", How: "instrument", Seen: "skin", Reflectance: flat(0.4), Note: "XQ-READING"}))
	}
	reading := id(Add(ctx, b, Reading{SkinID: skin, How: "instrument", Seen: "skin", Note: "XQ-SKIN-READING"}))
	id(Add(ctx, b, Photo{ReadingID: reading, Note: "XQ-PHOTO", Data: picture}))
	blend := id(Add(ctx, b, Blend{Name: "XQ-BLEND", SkinID: skin, Skin: &colour.Lab{L: 61.37, A: 11.43, B: 17.89}, Target: &colour.Lab{L: 63.41, A: 13.47, B: 21.53},
		Predicted: &colour.Lab{L: 63.59, A: 13.61, B: 21.67}, Request: []byte(`{"for":"XQ-REQUEST"}`), Document: []byte(`{"on":"XQ-DOCUMENT"}`), Note: "XQ-BLEND-NOTE"}))
	batch := id(Add(ctx, b, Batch{Name: "XQ-BATCH", BlendID: blend, PlannedG: 3, Request: []byte(`{"for":"XQ-BATCH-REQUEST","skin":"lab:55,12,17","base":"demo lotion","title":"XQ-TITLE"}`), Document: sheetFor(t, "XQ-SHEET", "XQ-SKIN"),
		Weights: []Weight{{Role: "powder", Name: "Pale gold demo", Lot: "G-0117", PlannedG: 3, WeighedG: new(3.0)}}}))
	id(Add(ctx, b, Reading{BatchID: batch, How: "photo", Seen: "skin", Note: "XQ-WORN"}))
	id(Add(ctx, b, Reading{BatchID: batch, How: "photo", Seen: "jar", Note: "KEPT-IN-THE-JAR"}))
	id(Add(ctx, b, Correction{BatchID: batch, ReadingID: reading, How: "instrument", Seen: "skin", BeforeG: 3, Note: "XQ-CORRECTION", Request: []byte(`{"at":"XQ-CORRECTION-REQUEST"}`)}))
	id(Add(ctx, b, Movement{LotID: 1, Kind: "given", Grams: -1, Note: "a gram for xaquira DEMO to try"}))

	gone, kept = map[string][]byte{}, map[string][]byte{}
	for _, s := range []string{"Xaquira", "xaquira", "XQ-CLIENT-NOTE", "XQ-SKIN", "XQ-PLACE", "XQ-READING", "XQ-SKIN-READING", "XQ-PHOTO", "XQ-PHOTO-TAIL",
		"XQ-BLEND", "XQ-REQUEST", "XQ-TITLE", "XQ-SHEET", "lab:55,12,17", "XQ-DOCUMENT", "XQ-BATCH", "XQ-WORN", "XQ-CORRECTION", "XQ-"} {
		gone[s] = []byte(s)
	}
	for _, x := range []float64{61.37, 11.43, 17.89, 63.41, 13.47, 21.53, 63.59, 13.61, 21.67} {
		gone[fmt.Sprint(x)] = asStored(x)
	}
	for _, s := range []string{"KEPT-IN-THE-JAR", "Dancer Ada (demo)", "to try", "G-0117"} {
		kept[s] = []byte(s)
	}
	return gone, kept
}

// asStored is a number as SQLite's file format has it: IEEE 754, the high byte first.
func asStored(x float64) []byte { return binary.BigEndian.AppendUint64(nil, math.Float64bits(x)) }

// sheetFor is a batch's sheet with somebody's words wherever it has place for them.
func sheetFor(t *testing.T, words, skin string) []byte {
	t.Helper()
	sheet, err := json.Marshal(batch.Batch{Title: words, Code: "A-7", Look: &batch.Look{Skin: skin, Target: skin}, LoadPercent: 3,
		Weighings: []batch.Weighing{{Name: "Pale gold demo", Powder: true, Grams: 3}},
		Steps:     []batch.Step{{Number: 1, Readings: []batch.Reading{{What: "pH", Value: "5.4"}, {What: "smell", Value: words}}}}})
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

// A forgotten client is not in a single byte of the file, its log or anything
// else beside it; what was made stays, with its lots and weights.
func TestForgetLeavesNoByte(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	gone, kept := fillNeedles(t, b)
	if found := traces(t, b, gone); len(found) < len(gone) {
		t.Fatalf("the search itself does not find what is there: only %v", found)
	}
	f, err := b.Forget(ctx, "xaquira demo", false, true)
	if err != nil {
		t.Fatal(err)
	}
	if f.Skins != 1 || f.Readings != 42 || f.Photos != 1 || f.Blends != 1 || f.Batches != 1 || f.Corrections != 1 {
		t.Errorf("%+v", f)
	}
	if len(f.Mentions) != 0 || len(f.Erased) != 1 || f.Erased[0] != (Mention{"movement", 5, "note", ""}) {
		t.Errorf("mentions of the name elsewhere: %v, erased %v", f.Mentions, f.Erased)
	}
	if !strings.Contains(f.Says, "copies and prints of your own") {
		t.Errorf("does not say what it cannot reach: %s", f.Says)
	}
	if found := traces(t, b, gone); len(found) > 0 {
		t.Errorf("while the book is open: %v", found)
	}
	var free int
	if err := b.db.QueryRow("PRAGMA freelist_count").Scan(&free); err != nil || free != 0 {
		t.Errorf("%d freed pages are still in the file (%v): it was not written anew", free, err)
	}
	if found := traces(t, b, kept); len(found) < len(kept) {
		t.Errorf("what should stay is gone; there is only %v", found)
	}
	if uses, err := b.UsesOfLot(ctx, "G-0117"); err != nil || len(uses) != 4 || uses[1].WeighedG != 3 {
		t.Errorf("a recall no longer finds the batch: %+v %v", uses, err)
	}
	if again, err := b.MakeAgain(ctx, 3); err != nil || string(again.Request) != `{"base":"demo lotion","part":["Pale gold demo=100"]}` || len(again.Powders) != 1 {
		t.Errorf("%s %+v %v", again.Request, again, err)
	}
	sheet := must1[Batch](t)(Get[Batch](ctx, b, 3)).Document
	if !bytes.Contains(sheet, []byte(`"value":"5.4"`)) || !bytes.Contains(sheet, []byte("A-7")) {
		t.Errorf("the sheet is %s", sheet)
	}
	if _, err := Named[Client](ctx, b, "Xaquira Demo"); !errors.Is(err, ErrNotFound) {
		t.Error(err)
	}
	if found, err := b.Check(ctx); err != nil || len(found) > 0 {
		t.Errorf("check: %v %v", found, err)
	}
	if id, err := Add(ctx, b, Client{Name: "Dancer Cyd (demo)"}); err != nil || id != 4 {
		t.Errorf("the next client is %d (%v), want 4: a forgotten one's id is not given again", id, err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if found := traces(t, b, gone); len(found) > 0 {
		t.Errorf("once the book is closed: %v", found)
	}
	if _, err := os.Stat(b.path + "-wal"); err == nil {
		t.Error("the log is still there after Close")
	}
}

// A program that still reads an older state keeps the file from being written
// anew. Forget says so, and the next opening finishes.
func TestForgetIsFinishedLater(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	path := b.path
	gone, _ := fillNeedles(t, b)
	b.db.Close()
	reader := open(path, "rw")
	tx, err := reader.Begin()
	if err != nil {
		t.Fatal(err)
	}
	tx.Rollback()
	read, err := reader.BeginTx(t.Context(), readOnly)
	if err != nil {
		t.Fatal(err)
	}
	var n int
	if err := read.QueryRow("SELECT count(*) FROM client").Scan(&n); err != nil || n != 3 {
		t.Fatal(n, err)
	}
	b = &Book{path: path, db: open(path, "rw")}
	b.db.SetMaxOpenConns(1)
	if _, err := b.db.Exec("PRAGMA busy_timeout = 20"); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Forget(t.Context(), "Xaquira Demo", false, true); !errors.Is(err, ErrBusy) || !errors.Is(err, ErrTraces) {
		t.Errorf("forgotten while another program reads: %v", err)
	}
	if _, err := Named[Client](t.Context(), b, "Xaquira Demo"); !errors.Is(err, ErrNotFound) {
		t.Error("the client is still in the record")
	}
	b.db.Close()
	read.Rollback()
	reader.Close()
	again, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if found := traces(t, again, gone); len(found) > 0 {
		t.Errorf("after the next opening: %v", found)
	}
	var left int
	if err := again.db.QueryRow("SELECT count(*) FROM chore").Scan(&left); err != nil || left != 0 {
		t.Errorf("%d chores left (%v)", left, err)
	}
}

func TestForgetNobody(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	before := exportJSON(t, b, ExportOptions{Clients: true})
	if _, err := b.Forget(t.Context(), "nobody", false, true); !errors.Is(err, ErrNotFound) {
		t.Error(err)
	}
	if exportJSON(t, b, ExportOptions{Clients: true}) != before {
		t.Error("the book was changed")
	}
}

// A batch of another client from a forgotten one's blend keeps its own client.
func TestForgetKeepsOtherClients(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	id, err := Add(t.Context(), b, Batch{BlendID: 1, ClientID: 2, PlannedG: 5})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.Forget(t.Context(), "1", false, true); err != nil {
		t.Fatal(err)
	}
	if batch, err := Get[Batch](t.Context(), b, id); err != nil || batch.ClientID != 2 {
		t.Errorf("%+v %v", batch, err)
	}
	if batch, err := Get[Batch](t.Context(), b, 1); err != nil || batch.ClientID != 0 || batch.Name != "" || strings.Contains(string(batch.Request), "skin") {
		t.Errorf("%+v %v", batch, err)
	}
}

// What a program left that was ended while it copied the book goes with the
// client; a copy that may still be written stays.
func TestForgetSweepsUnfinishedCopies(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	dir := filepath.Dir(b.path)
	for name, age := range map[string]time.Duration{store.Unfinished + "old": 2 * time.Hour, store.Unfinished + "new": 0} {
		file := filepath.Join(dir, name)
		at := time.Now().Add(-age)
		if err := errors.Join(os.WriteFile(file, []byte("Dancer Ada (demo)"), 0o600), os.Chtimes(file, at, at)); err != nil {
			t.Fatal(err)
		}
	}
	f := must1[Forgotten](t)(b.Forget(t.Context(), "Dancer Ada (demo)", false, true))
	left, _ := filepath.Glob(filepath.Join(dir, store.Unfinished+"*"))
	if len(left) != 1 || filepath.Base(left[0]) != store.Unfinished+"new" || !slices.Equal(f.PutAside, left) {
		t.Errorf("left: %v, named: %v", left, f.PutAside)
	}
}

// What may be the name and may be another's or a thing's is listed and stays; it
// goes once the maker says so, but for other records' own names. What was written
// of the client outside the book is named while it is there.
func TestForgetListed(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	id := must1[int64](t)
	dir := t.TempDir()
	there := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	sheet, second, drawer := there("sheet.txt", ""), there("second.txt", ""), there("drawer.csv", "name,note\ngold,for Zzyxqas arm\n")
	fill := func() (*Book, Forgotten) {
		b := newBook(t)
		powder := id(Add(ctx, b, Powder{Name: "rose", Source: "demo", Document: []byte(`{"drawer_csv":"name,lot\nrose,Zzyxqa-3\n"}`)}))
		id(Add(ctx, b, Powder{Name: "Zzyxqaline", Source: "demo"}))
		id(b.AddLot(ctx, Lot{PowderID: powder, Lot: "ZZYXQA-7"}, 5))
		who := id(Add(ctx, b, Client{Name: "Zzyxqa Rose"}))
		id(Add(ctx, b, File{ClientID: who, Path: sheet}))
		id(Add(ctx, b, File{ClientID: who, Path: filepath.Join(dir, "gone.txt")}))
		hers := id(Add(ctx, b, Blend{Name: "zzyxqaish rose", LoadPercent: 1, Note: "as Zzyxqa's", Request: []byte(fmt.Sprintf(`{"drawer":%q}`, drawer)),
			Powders: []BlendPowder{{PowderName: "rose", Lot: "zzyxqa-7", Percent: 1}}}))
		id(Add(ctx, b, File{BlendID: hers, Path: second}))
		if err := b.Backup(ctx, filepath.Join(t.TempDir(), "own.db")); err != nil {
			t.Fatal(err)
		}
		would, err := b.Forget(ctx, "zzyxqa rose", false, false)
		if err != nil {
			t.Fatal(err)
		}
		return b, would
	}
	b, would := fill()
	if c, err := Named[Client](ctx, b, "Zzyxqa Rose"); err != nil || c.ID != 1 {
		t.Errorf("asked what would go, and they went: %v %v", c, err)
	}
	f := must1[Forgotten](t)(b.Forget(ctx, "Zzyxqa Rose", false, true))
	if !reflect.DeepEqual(f, would) {
		t.Errorf("what would be done is\n%+v, what was done\n%+v", would, f)
	}
	want := []Mention{{"powder", 1, "document", "Zzyxqa"}, {"powder", 2, "name", "Zzyxqaline"}, {"lot", 1, "lot", "ZZYXQA"},
		{"blend", 1, "name", "rose, zzyxqaish"}, {"blend_powder", 1, "lot", "ZZYXQA"}}
	if !slices.Equal(f.Mentions, want) || !slices.Equal(f.Erased, []Mention{{"blend", 1, "note", ""}}) || !strings.Contains(f.Says, someStays) {
		t.Errorf("listed %v, erased %v: %s", f.Mentions, f.Erased, f.Says)
	}
	if len(f.Files) != 4 || !slices.Contains(f.Files, sheet) || !slices.Contains(f.Files, second) || !slices.Contains(f.Files, drawer) {
		t.Errorf("named %v", f.Files)
	}
	b, _ = fill()
	f = must1[Forgotten](t)(b.Forget(ctx, "Zzyxqa Rose", true, true))
	if !slices.Equal(f.Mentions, []Mention{{"powder", 2, "name", "Zzyxqaline"}}) {
		t.Errorf("left once it was said: %v", f.Mentions)
	}
	if lots := must1[[]LotStock](t)(b.Stock(ctx)); lots[0].Lot != "…-7" {
		t.Errorf("%+v", lots)
	}
	if blend := must1[Blend](t)(Get[Blend](ctx, b, 1)); blend.Name != "… …" || blend.Powders[0].Lot != "…-7" || blend.Powders[0].PowderName != "rose" {
		t.Errorf("%+v", blend)
	}
	if found, err := b.Check(ctx); err != nil || len(found) > 0 {
		t.Errorf("check: %v %v", found, err)
	}
}

// A path with the name is told once, so that the file can be deleted or renamed, and
// then stands without the name, of copies too; what it tells of still finds it. The
// maker's home folder keeps its name, and it is said.
func TestForgetTakesTheNameOutOfPaths(t *testing.T) {
	ctx := t.Context()
	id := must1[int64](t)
	home := filepath.Join(t.TempDir(), "zzyxqa")
	t.Setenv("HOME", home)
	b := newBook(t)
	dir := filepath.Join(home, "Zzyxqa Quill")
	if err := os.MkdirAll(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	elsewhere := t.TempDir()
	id(Add(ctx, b, Client{Name: "Zzyxqa Quill"}))
	bel := id(Add(ctx, b, Client{Name: "Dancer Bel (demo)"}))
	var want []string
	for _, name := range []string{filepath.Join(dir, "sheet.txt"), filepath.Join(elsewhere, "cardOfZzyxqaQuill.png"), filepath.Join(elsewhere, "zzyxqa_2.png")} {
		if err := os.WriteFile(name, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		id(Add(ctx, b, File{ClientID: bel, Path: name}))
		want = append(want, name)
	}
	for _, name := range []string{filepath.Join(dir, "before.db"), filepath.Join(elsewhere, "for zzyxqa.json")} {
		var err error
		if filepath.Ext(name) == ".db" {
			err = b.Backup(ctx, name)
		} else {
			_, err = b.ExportFile(ctx, name, ExportOptions{Clients: true})
		}
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, name)
	}
	id(Add(ctx, b, File{ClientID: bel, Path: filepath.Join(elsewhere, "zzyxqa", "no more")}))
	id(Add(ctx, b, File{ClientID: bel, Path: filepath.Join(home, "bench", "card.png")}))
	needles := map[string][]byte{"quill": []byte("Quill"), "zzyxqa elsewhere": []byte(filepath.Join(elsewhere, "zzyxqa")), "card": []byte("cardOf"), "copy": []byte("for zzyxqa")}
	if found := traces(t, b, needles); len(found) < len(needles) {
		t.Fatalf("the search itself finds only %v", found)
	}
	slices.Sort(want)
	f := must1[Forgotten](t)(b.Forget(ctx, "zzyxqa quill", false, true))
	if !slices.Equal(f.Files, want) || len(f.Mentions) > 0 || !strings.Contains(f.Says, homeStays) {
		t.Errorf("told of %q, want %q; listed %v: %s", f.Files, want, f.Mentions, f.Says)
	}
	if found := traces(t, b, needles); len(found) > 0 {
		t.Errorf("still there: %v", found)
	}
	if file := must1[File](t)(Get[File](ctx, b, 1)); file.Path != filepath.Join(home, gap, "sheet.txt") {
		t.Errorf("the path is %s", file.Path)
	}
	if file := must1[File](t)(Get[File](ctx, b, 5)); file.Path != filepath.Join(home, "bench", "card.png") {
		t.Errorf("the path of another is %s", file.Path)
	}
	f = must1[Forgotten](t)(b.Forget(ctx, "Dancer Bel (demo)", false, true))
	if !slices.Contains(f.Files, filepath.Join(home, gap, "sheet.txt")) || !slices.Contains(f.Files, filepath.Join(elsewhere, "for "+gap+".json")) {
		t.Errorf("of another, told of %q", f.Files)
	}
	if found, err := b.Check(ctx); err != nil || len(found) > 0 {
		t.Errorf("check: %v %v", found, err)
	}
}

// A copy is noted before it is written, an export without clients too, so that one that
// was broken off is named with what is left of it; and no log stays beside a backup.
func TestForgetNamesCopiesBrokenOff(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	b := demoBook(t)
	dir := t.TempDir()
	backup, export, left := filepath.Join(dir, "bk.db"), filepath.Join(dir, "ex.json"), filepath.Join(dir, store.Unfinished+"x")
	if err := b.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	copied := open(backup, "ro")
	var noted string
	if err := copied.QueryRow("SELECT path FROM copy").Scan(&noted); err != nil || noted != backup {
		t.Errorf("the copy knows of %q: %v", noted, err)
	}
	copied.Close()
	must1[Exported](t)(b.ExportFile(ctx, export, ExportOptions{}))
	log := filepath.Join(BackupFolder(b.path), today()+".db-wal")
	if err := errors.Join(os.Mkdir(left, 0o700), os.WriteFile(log, []byte("Dancer Ada (demo)"), 0o600)); err != nil {
		t.Fatal(err)
	}
	f := must1[Forgotten](t)(b.Forget(ctx, "Dancer Ada (demo)", false, true))
	for _, path := range []string{backup, export, left} {
		if !slices.Contains(f.Files, path) {
			t.Errorf("%s is not named: %v", path, f.Files)
		}
	}
	if _, err := os.Stat(log); err == nil {
		t.Error("the log of a backup stays")
	}
}
