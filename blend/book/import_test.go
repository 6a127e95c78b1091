package book

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"
)

// An import that cannot be taken names the record and the field, says what
// would be accepted, and leaves the book empty.
func TestImportErrorsNameRecordAndField(t *testing.T) {
	t.Parallel()
	golden, err := os.ReadFile(goldenPath)
	if err != nil {
		t.Fatal(err)
	}
	b := newBook(t)
	for _, c := range []struct{ old, new, says string }{
		{`"format": "tawny book"`, `"format": "something"`, `heading of the export: format: "something" will not do; give "tawny book"`},
		{`"format_version": 1`, `"format_version": 2`, `format_version: "2" is not known to this tawny`},
		{`"schema": 12`, `"schema": 13`, `schema: 13 is not known to this tawny, which reads 1 to 12`},
		{`"clients": "included"`, `"clients": "some"`, `clients: "some" will not do; give "included" or "left out"`},
		{`"clients": "included"`, `"clients": "left out"`, `client record 1: the export says that clients are left out`},
		{`"clients": "included",`, ``, `clients: missing; it comes before the tables`},
		{`"says": `, `"sings": `, `sings: no export has it`},
		{`"schema": 12`, `"schema": 12, "schema": 12`, `schema: given twice`},
		{`"powder": 3`, `"pounder": 3`, `last_ids: pounder: there is no such table`},
		{`"lot": [`, `"lots": [`, `tables: lots: there is no such table`},
		{`"family":"gold"`, `"colour":"gold"`, `powder record 1: colour: a powder has no such field; it has id, name`},
		{`"family":"gold"`, `"family":7`, `powder record 1: family: "7" will not do; give some text`},
		{`"name":"Bronze demo"`, `"name":" "`, `powder record 2: name: empty; give some text`},
		{`"name":"Bronze demo"`, `"name":"PALE GOLD DEMO"`, `powder record 2: name: already used by another record`},
		{`"id":2,"name":"Bronze demo"`, `"id":1,"name":"Bronze demo"`, `powder record 2: id: already used by another record`},
		{`"id":2,"name":"Bronze demo"`, `"id":-2,"name":"Bronze demo"`, `powder record 2: id: -2 will not do; give a whole number`},
		{`"id":2,"name":"Bronze demo"`, `"id":2.5,"name":"Bronze demo"`, `powder record 2: id: "2.5" will not do; give a whole number`},
		{`"source":"modelled"`, `"source":"real"`, `powder record 3: source: "real" will not do; give one of: modelled, guessed, measured, demo`},
		{`"retired_on":"2026-01-01"`, `"retired_on":"1/1/2026"`, `powder record 3: retired_on: "1/1/2026" is not a day; give a day like 2026-05-31`},
		{`"document":{"layers"`, `"document":[{"layers"`, `near powder record 1: not an export in JSON`},
		{`"document":{"k":[0.1],"s":[2]}`, `"document":["k"]`, `fit record 1: document: JSON, but not an object; give a JSON object`},
		{`"grams":50,`, `"grams":null,`, `movement record 1: grams: missing; give a number from -1000000 to 1000000`},
		{`"grams":50,`, `"grams":"50",`, `movement record 1: grams: "\"50\"" will not do`},
		{`"lot_id":3,"kind"`, `"lot_id":33,"kind"`, `movement with id 3: lot_id: there is no lot 33 in the export`},
		{`"weighed_g":0.98`, `"weighed_g":-0.98`, `batch_weight record 2: weighed_g: -0.98 will not do; give a number from 0 to 1000000`},
		{`"percent":1}`, `"percent":101}`, `blend_powder record 2: percent: 101 will not do; give a number from 0 to 100`},
		{`"position":2`, `"position":1`, `: blend_id and position: already used by another record`},
		{`"reflectance":[0.2,`, `"reflectance":[0.2,0.2,`, `reflectance: give a JSON list of 36 numbers`},
		{`"reflectance":[0.2,`, `"reflectance":[20,`, `reflectance: give a JSON list of 36 numbers, 380 to 730 nm by 10, each a factor`},
		{`"sha256":"`, `"sha256":"00`, `photo record 1: sha256: says 00`},
		{`"data":"iVBOR`, `"data":"iVBOX`, `photo record 1: data: not a picture the book can keep; give a JPEG or PNG`},
		{`"data":"iVBOR`, `"data":"!`, `photo record 1: data: not base64`},
		{`"width_px":6`, `"width_px":7`, `photo record 1: width_px: says 7, but the picture's own is 6`},
		{"}\n}\n", "}\n} more", `near the end of the export: something follows it`},
		{"]\n}\n}\n", "", `near photo record 3: the export ends too soon`},
		{"{", "[", "near the beginning of the export: not an export in JSON"},
		{`"note":"Ada again"`, `"note":"Ada ` + "\xff" + `"`, `correction record 1: note: not UTF-8 text`},
		{`"note":"Ada again"`, `"note":"Ada\u0000"`, `correction record 1: note: holds the control character U+0000; leave it out`},
	} {
		broken := strings.Replace(string(golden), c.old, c.new, 1)
		if broken == string(golden) {
			t.Fatalf("%s is not in %s", c.old, goldenPath)
		}
		_, err := b.ImportJSON(t.Context(), strings.NewReader(broken))
		if err == nil || !strings.Contains(err.Error(), c.says) || !strings.HasPrefix(err.Error(), "nothing was imported: ") {
			t.Errorf("%s → %s: %v\nwant %s", c.old, c.new, err, c.says)
		}
	}
	// After all these failures the book is still empty, and takes the sound one.
	if _, err := b.ImportJSON(t.Context(), bytes.NewReader(golden)); err != nil {
		t.Error(err)
	}
}

// csvFiles is an export in CSV, in memory.
func csvFiles(t testing.TB, b *Book) fstest.MapFS {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "e")
	if _, err := b.ExportFile(t.Context(), dir, ExportOptions{Clients: true}); err != nil {
		t.Fatal(err)
	}
	return filesOf(t, dir)
}

func filesOf(t testing.TB, dir string) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := os.ReadFile(path)
		rel, _ := filepath.Rel(dir, path)
		files[filepath.ToSlash(rel)] = &fstest.MapFile{Data: content}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func TestImportCSVErrors(t *testing.T) {
	t.Parallel()
	full := demoBook(t)
	files := csvFiles(t, full)
	b := newBook(t)
	for _, c := range []struct{ file, old, new, says string }{
		{"powder.csv", "# schema: 12", "# schema: 6", `powder.csv: not of the same export as last_ids.csv`},
		{"powder.csv", "# table: powder", "# table: lot", `powder.csv: table: "lot" will not do; give powder`},
		{"powder.csv", "# format: tawny book\n", "", `powder.csv: the heading of the export: format: "" will not do`},
		{"powder.csv", "family", "familiar", `powder.csv: familiar: a powder has no such field`},
		{"powder.csv", "family", "name", `powder.csv: name: given twice in the header`},
		{"powder.csv", "1,Pale gold demo", "one,Pale gold demo", `powder.csv:8: id: "one" will not do; give a whole number of 1 or more`},
		{"powder.csv", "2,Bronze demo", "2,Bronze demo,extra", `powder.csv:9: 9 cells where the header has 8`},
		{"powder.csv", "2,Bronze demo", "2,\"Bronze demo", `powder.csv:9: the quotes do not close`},
		{"movement.csv", "bought,50,", "bought,NaN,", `movement.csv:8: grams: NaN will not do`},
		// The note over two lines counts as two.
		{"movement.csv", "on the floor,\n", "on the floor,\x07\n", `movement.csv:11: note: holds the control character U+0007`},
		{"last_ids.csv", "powder,3", "powder,x", `last_ids.csv:8: last_id: "x" is not a whole number`},
		{"photo.csv", "photo/1.png", "../../../etc/passwd", `photo.csv:8: data: "../../../etc/passwd" will not do; give photo/1.png`},
		{"photo.csv", "photo/1.png", "photo/2.png", `photo.csv:8: data: "photo/2.png" will not do; give photo/1.png`},
		{"photo/1.png", "PNG", "GNP", `photo.csv:8: data: not a picture`},
	} {
		broken := maps.Clone(files)
		content := strings.Replace(string(files[c.file].Data), c.old, c.new, 1)
		if content == string(files[c.file].Data) {
			t.Fatalf("%q is not in %s:\n%s", c.old, c.file, content)
		}
		broken[c.file] = &fstest.MapFile{Data: []byte(content)}
		if _, err := b.ImportCSV(t.Context(), broken); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %q → %q: %v\nwant %s", c.file, c.old, c.new, err, c.says)
		}
	}
	for name := range files {
		broken := maps.Clone(files)
		delete(broken, name)
		if _, err := b.ImportCSV(t.Context(), broken); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("without %s: %v", name, err)
		}
	}
	// A spreadsheet's quotes, commas, byte-order mark and line ends do no harm.
	kept := maps.Clone(files)
	text := string(files["powder.csv"].Data)
	head, rest, _ := strings.Cut(text, "\nid,")
	head = "\ufeff\"" + strings.ReplaceAll(head, "\n", "\",,,\n\"") + "\",,"
	kept["powder.csv"] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(head+"\nid,"+rest, "\n", "\r\n"))}
	if _, err := b.ImportCSV(t.Context(), kept); err != nil {
		t.Error(err)
	}
	if exportJSON(t, b, ExportOptions{Clients: true}) != exportJSON(t, full, ExportOptions{Clients: true}) {
		t.Error("what the spreadsheet saved is another book")
	}
}

// One record that never ends is refused long before it fills the memory.
func TestImportOfAnEndlessRecord(t *testing.T) {
	t.Parallel()
	head := `{"format": "tawny book", "format_version": 1, "schema": 8, "clients": "included", "tables": {"powder": [{"name": "`
	err := parseJSON(&endless{head: head}, &collector{rows: map[*table][][]any{}}, 1<<20)
	if err == nil || !strings.Contains(err.Error(), "one record is longer than 1 MiB") {
		t.Error(err)
	}
}

type endless struct {
	head string
	read int
}

func (e *endless) Read(p []byte) (int, error) {
	if e.read > 2<<20 {
		return 0, fmt.Errorf("2 MiB were read")
	}
	if e.head != "" {
		n := copy(p, e.head)
		e.head = e.head[n:]
		return n, nil
	}
	for i := range p {
		p[i] = 'x'
	}
	e.read += len(p)
	return len(p), nil
}

// collector is a sink that keeps what it is given, as the book would.
type collector struct {
	h    *heading
	rows map[*table][][]any
}

func (c *collector) head(h *heading) error { c.h = h; return nil }

func (c *collector) row(t *table, row []any, where string) error {
	if err := t.check(row, where); err != nil {
		return err
	}
	c.rows[t] = append(c.rows[t], append([]any(nil), row...))
	return nil
}

// write gives what was kept to a writer, as an export would.
func (c *collector) write(t testing.TB, w writer) {
	t.Helper()
	err := w.head(c.h)
	for _, table := range tables {
		if err == nil {
			err = w.begin(table)
		}
		for _, row := range c.rows[table] {
			if err == nil {
				err = w.row(table, row)
			}
		}
	}
	if err == nil {
		err = w.end()
	}
	if err != nil {
		t.Fatal(err)
	}
}

func (c *collector) json(t testing.TB) string {
	var out bytes.Buffer
	c.write(t, newJSONWriter(&out))
	return out.String()
}

// csv is what the collector holds as the files of an export.
func (c *collector) csv(t testing.TB) fstest.MapFS {
	dir := filepath.Join(t.TempDir(), "e")
	c.write(t, &csvWriter{dir: dir})
	return filesOf(t, dir)
}

// Any text that the book takes comes back the same from CSV and from JSON:
// quotes, line ends, formulas, what looks like a comment, and all.
func TestAnyTextComesBack(t *testing.T) {
	t.Parallel()
	c := column{name: "note", kind: text}
	rapid.Check(t, func(r *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`[=+\-@\t'"#,;\r\n\\. a]*`)).Draw(r, "text")
		stored, err := c.check(s)
		if err != nil {
			return
		}
		row := []any{int64(1), stored.(string), "", "demo", stored, nil, nil, "2026-01-01T00:00:00Z"}
		powder := tableNamed("powder")
		in := &collector{h: &heading{schema: 8, clients: clientsIncluded}, rows: map[*table][][]any{powder: {row}}}
		if powder.check(row, "") != nil {
			row[1] = "a name"
		}
		text := in.json(t)
		back := &collector{rows: map[*table][][]any{}}
		if err := parseJSON(strings.NewReader(text), back, maxRecordBytes); err != nil {
			r.Fatalf("JSON: %v", err)
		}
		if back.json(t) != text {
			r.Fatalf("JSON changed %q", s)
		}
		files := in.csv(t)
		back = &collector{rows: map[*table][][]any{}}
		if err := parseCSV(files, back); err != nil {
			r.Fatalf("CSV: %v", err)
		}
		if back.json(t) != text {
			r.Fatalf("CSV changed %q", s)
		}
		_, body, _ := strings.Cut(string(files["powder.csv"].Data), "\nid,")
		records, err := csv.NewReader(strings.NewReader("id," + body)).ReadAll()
		if err != nil || len(records) != 2 {
			r.Fatalf("%v %v", records, err)
		}
		for _, cell := range records[1] {
			if cell != "" && strings.Contains("=+-@\t", cell[:1]) {
				r.Fatalf("a spreadsheet would run %q", cell)
			}
		}
	})
}
