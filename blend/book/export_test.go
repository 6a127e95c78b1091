package book

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write testdata/book/demo.json anew")

const goldenPath = "../../testdata/book/demo.json"

func exportJSON(t testing.TB, b *Book, o ExportOptions) string {
	t.Helper()
	var out bytes.Buffer
	if _, err := b.ExportJSON(t.Context(), &out, o); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// Import of an export gives the same book: exporting it again gives the same
// bytes, in each form, with clients and without, and the ids go on from where
// they were.
func TestExportImportIsTheSameBook(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	b := demoBook(t)
	if err := b.Delete(ctx, Photos, 3); err != nil { // an id given once and not in the export
		t.Fatal(err)
	}
	for _, clients := range []bool{true, false} {
		o := ExportOptions{Clients: clients}
		want := exportJSON(t, b, o)
		for _, name := range []string{"e.json", "e.zip", "e"} {
			path := filepath.Join(t.TempDir(), name)
			exported, err := b.ExportFile(ctx, path, o)
			if err != nil {
				t.Fatal(err)
			}
			other := newBook(t)
			imported, err := other.ImportFile(ctx, path)
			if err != nil {
				t.Fatalf("clients %v, %s: %v", clients, name, err)
			}
			if len(imported.Records) == 0 || imported.Records["blend"] != exported.Records["blend"] || imported.Clients != exported.Clients {
				t.Errorf("%s: exported %v, imported %v", name, exported, imported)
			}
			if got := exportJSON(t, other, o); got != want {
				t.Errorf("clients %v, %s: the book imported is another:\n%s\n---\n%s", clients, name, got, want)
			}
			again := filepath.Join(t.TempDir(), name)
			if _, err := other.ExportFile(ctx, again, o); err != nil {
				t.Fatal(err)
			}
			sameFiles(t, path, again)
			if found, err := other.Check(ctx); err != nil || len(found) > 0 {
				t.Errorf("check after import of %s: %v %v", name, found, err)
			}
			id, err := Add(ctx, other, Photo{TakenOn: "2026-04-01", Data: demoPicture(t, 1)})
			if err != nil || id != 4 {
				t.Errorf("%s: the next photo is %d (%v), want 4: ids are never given twice", name, id, err)
			}
			if _, err := other.ImportFile(ctx, path); !errors.Is(err, ErrNotEmpty) {
				t.Errorf("import into a full book: %v", err)
			}
		}
	}
}

// sameFiles compares two files, or two folders, byte by byte.
func sameFiles(t *testing.T, a, b string) {
	t.Helper()
	if info, err := os.Stat(a); err == nil && info.IsDir() {
		n := 0
		filepath.WalkDir(a, func(path string, d os.DirEntry, err error) error {
			if !d.IsDir() {
				n++
				rel, _ := filepath.Rel(a, path)
				sameFiles(t, path, filepath.Join(b, rel))
			}
			return err
		})
		if n < len(tables) {
			t.Errorf("only %d files", n)
		}
		return
	}
	x, errX := os.ReadFile(a)
	y, errY := os.ReadFile(b)
	if errX != nil || errY != nil || !bytes.Equal(x, y) {
		t.Errorf("%s and %s differ (%v, %v)", a, b, errX, errY)
	}
}

// What is personal stays out of an export that was not asked for clients, and
// the export says so itself, in every file of it.
func TestExportLeavesClientsOut(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	dir := filepath.Join(t.TempDir(), "e")
	done, err := b.ExportFile(ctx, dir, ExportOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if done.LeftOut["client"] != 2 || done.LeftOut["reading"] != 5 || done.LeftOut["photo"] != 2 || done.LeftOut["skin"] != 1 || done.LeftOut["file"] != 2 {
		t.Errorf("left out %v", done.LeftOut)
	}
	if done.Records["batch_weight"] != 5 || done.Records["correction_weight"] != 1 {
		t.Errorf("weights are not complete: %v", done.Records)
	}
	text := exportJSON(t, b, ExportOptions{})
	if !strings.Contains(text, `"clients": "left out"`) || !strings.Contains(text, saysLeftOut) {
		t.Error("the JSON does not say that clients are left out")
	}
	filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, _ := os.ReadFile(path)
		if filepath.Ext(path) == ".csv" && !bytes.Contains(content, []byte("# clients: left out\n")) {
			t.Errorf("%s does not say that clients are left out", path)
		}
		text += string(content)
		return nil
	})
	for _, private := range []string{"Ada", "Bel", "second row", "skin:6,7,10", "inner forearm", "photo/1.png", "sheet.txt", "card.png"} {
		if strings.Contains(text, private) {
			t.Errorf("%q is in an export without clients", private)
		}
	}
	if with := exportJSON(t, b, ExportOptions{Clients: true}); !strings.Contains(with, "Ada") || !strings.Contains(with, `"clients": "included"`) {
		t.Error("an export asked for clients has none, or does not say it has")
	}
}

// The committed export of the demo book goes on being read, and gives itself.
func TestGoldenExport(t *testing.T) {
	t.Parallel()
	if *update {
		b := newBook(t)
		demo(t, b)
		if err := os.WriteFile(goldenPath, []byte(exportJSON(t, b, ExportOptions{Clients: true})), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(goldenPath)
	if err != nil {
		t.Fatal(err)
	}
	b := newBook(t)
	if _, err := b.ImportJSON(t.Context(), bytes.NewReader(want)); err != nil {
		t.Fatal(err)
	}
	if got := exportJSON(t, b, ExportOptions{Clients: true}); got != string(want) {
		t.Errorf("%s imports as another book", goldenPath)
	}
	if found, err := b.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("check: %v %v", found, err)
	}
}

// Nothing is replaced by an export, and nothing half-written is left by one
// that fails.
func TestExportFileReplacesNothing(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	dir := t.TempDir()
	path := filepath.Join(dir, "e.json")
	os.WriteFile(path, []byte("mine"), 0o600)
	if _, err := b.ExportFile(t.Context(), path, ExportOptions{}); err == nil {
		t.Error("an export replaced a file")
	}
	b.Close()
	for _, name := range []string{"f.json", "f.zip", "f"} {
		if _, err := b.ExportFile(t.Context(), filepath.Join(dir, name), ExportOptions{}); err == nil {
			t.Errorf("%s: a closed book was exported", name)
		}
	}
	left, _ := os.ReadDir(dir)
	if len(left) != 1 {
		t.Errorf("left behind: %v", left)
	}
	if got, _ := os.ReadFile(path); string(got) != "mine" {
		t.Error("the file was changed")
	}
}
