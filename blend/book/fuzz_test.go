package book

import (
	"bytes"
	"strings"
	"testing"
	"testing/fstest"
)

// Whatever is fed to the JSON import, it errs or it is understood: what it
// reads, written again, reads as the same.
func FuzzImportJSON(f *testing.F) {
	head := `{"format":"tawny book","format_version":1,"schema":8,"clients":"included","says":"","last_ids":{"powder":9},"tables":{`
	f.Add([]byte(head + `"powder":[{"id":1,"name":"a","source":"demo","document":{"a":1e400},"recorded_at":"2026-01-01T00:00:00+05:00"}]}}`))
	f.Add([]byte(head + `"movement":[{"id":1,"lot_id":1,"kind":"bought","grams":-0,"moved_on":"2026-02-30","recorded_at":""}]}}`))
	f.Add([]byte(head + `"fit_reading":[{"fit_id":1,"reading_id":2,"residual_de00":0.25}],"client":[{"id":1,"name":"a","note":"\u00e9\n","recorded_at":"2026-01-01T00:00:00Z"}]}}`))
	f.Add([]byte(head + `"photo":[{"id":1,"taken_on":"2026-01-01","place":"","media_type":"image/png","width_px":1,"height_px":1,"sha256":"00","note":"","recorded_at":"2026-01-01T00:00:00Z","data":"AAE="}]}}`))
	f.Add([]byte(head + `}} {`))
	f.Add([]byte(`{"tables":{}}`))
	f.Add([]byte("[[[[[[\xff"))
	f.Fuzz(func(t *testing.T, data []byte) {
		first := &collector{rows: map[*table][][]any{}}
		if parseJSON(bytes.NewReader(data), first, maxRecordBytes) != nil {
			return
		}
		text := first.json(t)
		second := &collector{rows: map[*table][][]any{}}
		if err := parseJSON(strings.NewReader(text), second, maxRecordBytes); err != nil {
			t.Fatalf("read once but not twice: %v\n%s", err, text)
		}
		if again := second.json(t); again != text {
			t.Fatalf("written as\n%s\nread and written again as\n%s", text, again)
		}
	})
}

// The same for a table's CSV file.
func FuzzImportCSV(f *testing.F) {
	empty := &collector{h: &heading{schema: 8, clients: clientsIncluded}}
	base := empty.csv(f)
	head, _, _ := bytes.Cut(base["powder.csv"].Data, []byte("\nid,"))
	for _, rest := range []string{
		"", "\nid,name", "\nid,name,source,recorded_at\n1,a,demo,2026-01-01T00:00:00Z\n",
		"\nid,name,source,note,recorded_at,document\n1,\"a \"\"b\"\"\",demo,'=1+1,2026-01-01T00:00:00Z,\"{\"\"a\"\":1}\"\n",
		"\nid,name,source,note,recorded_at\n1,a,demo,\"two\r\nlines\",2026-01-01T00:00:00Z\n2,\"a\n", "\n\"",
	} {
		f.Add([]byte(string(head) + rest))
	}
	f.Add(base["powder.csv"].Data)
	f.Add([]byte("\ufeff#"))
	f.Fuzz(func(t *testing.T, data []byte) {
		files := fstest.MapFS{}
		for name, file := range base {
			files[name] = file
		}
		files["powder.csv"] = &fstest.MapFile{Data: data}
		first := &collector{rows: map[*table][][]any{}}
		if parseCSV(files, first) != nil {
			return
		}
		out := first.csv(t)
		second := &collector{rows: map[*table][][]any{}}
		if err := parseCSV(out, second); err != nil {
			t.Fatalf("read once but not twice: %v\n%s", err, out["powder.csv"].Data)
		}
		if first.json(t) != second.json(t) {
			t.Fatalf("written as\n%s\nread as\n%s", first.json(t), second.json(t))
		}
	})
}
