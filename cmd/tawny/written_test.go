package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
)

// Exit code 2 means that nothing was written: where a batch is in the book and
// its files cannot be written, the batch is told and the code is 1.
func TestFilesThatFailAfterTheBook(t *testing.T) {
	dir := t.TempDir()
	out, book := filepath.Join(dir, "out"), filepath.Join(dir, "book.db")
	if err := os.MkdirAll(filepath.Join(out, "card.png"), 0o755); err != nil {
		t.Fatal(err)
	}
	code, said, errs := tawny(t, "book", "save", "--skin", "tan", "--target", "skin:1,3,3", "--load", "4", "--grams", "100", "--book", book, "--out", out)
	if code != exitFailed || !strings.Contains(errs, "it is a folder") || !strings.Contains(said, "blend 1") {
		t.Errorf("exit %d, %q, %q", code, said, errs)
	}
	if list, _ := os.ReadDir(out); len(list) != 1 {
		t.Errorf("%d files are left in the folder", len(list))
	}
}

// What cannot be drawn is not in the book: thirteen powders do not fit a card.
func TestCardThatFailsBeforeTheBook(t *testing.T) {
	book := filepath.Join(t.TempDir(), "book.db")
	var drawer struct{ Powders []struct{ Name string } }
	if err := json.Unmarshal([]byte(mustRun(t, "drawer", "--json")), &drawer); err != nil {
		t.Fatal(err)
	}
	args := []string{"book", "save", "--skin", "tan", "--grams", "1000", "--balance", "0.001", "--book", book}
	for _, p := range drawer.Powders[:13] {
		args = append(args, "--part", p.Name+"=0.1")
	}
	mustRun(t, args...) // the book itself takes them
	code, _, errs := tawny(t, append(args, "--out", filepath.Join(t.TempDir(), "out"))...)
	if code != exitInput || !strings.Contains(errs, "fit a card") {
		t.Errorf("exit %d, %s", code, errs)
	}
	if list := mustRun(t, "book", "list", "--book", book); !strings.Contains(list, " 1 blend\n") {
		t.Errorf("the book has another blend: %s", list)
	}
}

// Letters that no font here has are told of in words and in the answer, and nothing
// else is warned of.
func TestLettersNoFontHasAreTold(t *testing.T) {
	args := []string{"card", "--skin", "tan", "--part", "pale gold=2", "--kind", "card", "--json", "--out", t.TempDir(), "--title"}
	for title, want := range map[string]string{"Lantern für Łucja": "", "花 for Ｍaris": "no font here has 花 (U+82B1), Ｍ (U+FF2D)"} {
		code, said, errs := tawny(t, append(args, title)...)
		var answer struct{ Warnings []string }
		if err := json.Unmarshal([]byte(said), &answer); err != nil {
			t.Fatal(err)
		}
		if code != 0 || !strings.Contains(errs, want) || len(answer.Warnings) == 1 != (want != "") {
			t.Errorf("%s: exit %d, %q, answer %q", title, code, errs, answer.Warnings)
		}
		if want == "" && errs != "" || want != "" && !strings.HasPrefix(answer.Warnings[0], want) {
			t.Errorf("%s: %q, answer %q", title, errs, answer.Warnings)
		}
	}
}

// A board that needs more paper than it was given says what it is drawn on; a card,
// which has a back, and a board that fits do not.
func TestOtherPaperIsTold(t *testing.T) {
	blend := []string{"card", "--skin", "tan", "--part", "pale gold=2", "--flat", "--dpi", "72", "--json", "--out", t.TempDir()}
	for kind, want := range map[string]string{
		"skins --on light --on tan --on dark --paper a6": "105 × 148 mm is too small for the picture, which is ",
		"coverages --paper photo":                        "",
		"card --paper a6":                                "",
	} {
		var answer struct{ Warnings []string }
		if err := json.Unmarshal([]byte(mustRun(t, append(blend, strings.Fields("--kind "+kind)...)...)), &answer); err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(answer.Warnings, ""); !strings.HasPrefix(got, want) || want == "" && got != "" {
			t.Errorf("%s: %q, want %q", kind, got, want)
		}
	}
}

// What is written over is named, and a file of another folder that a link leads
// to is the one that is written.
func TestWrittenOverIsNamed(t *testing.T) {
	dir := t.TempDir()
	card := filepath.Join(dir, "card.png")
	if err := os.WriteFile(filepath.Join(dir, "elsewhere.png"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("elsewhere.png", card); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	out := mustRun(t, "match", "--demo", "--out", dir)
	if !strings.Contains(out, "Written over: "+card) {
		t.Errorf("the screen says %s", out)
	}
	info, err := os.Stat(filepath.Join(dir, "elsewhere.png"))
	if err != nil || info.Size() < 1000 || info.Mode().Perm() != 0o600 {
		t.Errorf("the file is %v, %v", info, err)
	}
}

// A saved request is bounded.
func TestRequestTooLong(t *testing.T) {
	path := filepath.Join(t.TempDir(), "long.json")
	if err := os.WriteFile(path, []byte(`{"job":"match","skin":"`+strings.Repeat("a", maxRequest)+`"}`), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := tawny(t, "match", "--request", path); code != exitInput || !strings.Contains(errs, "is over 256 kB") {
		t.Errorf("exit %d, %s", code, errs)
	}
}

// However many add to one drawer at once, none is lost.
func TestAddsAtOnce(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	drawer := filepath.Join(t.TempDir(), "drawer.csv")
	var adds sync.WaitGroup
	for i := range 40 {
		adds.Go(func() {
			name := fmt.Sprintf("gold %02d", i)
			if code, _, errs := tawny(t, "drawer", "add", "--like", "pale gold", "--size", "10-60", "--name", name, "--drawer", drawer); code != exitDone {
				t.Errorf("%s: exit %d, %s", name, code, errs)
			}
		})
	}
	adds.Wait()
	rows := mustRun(t, "drawer", "--drawer", drawer)
	for i := range 40 {
		if !strings.Contains(rows, fmt.Sprintf("gold %02d", i)) {
			t.Errorf("gold %02d is lost", i)
		}
	}
}

// A fault of the program itself has a code of its own and tells what to report.
func TestFaultOfItsOwn(t *testing.T) {
	var errs bytes.Buffer
	if code := run(t.Context(), []string{"version"}, brokenWriter{}, &errs); code != exitFault || !strings.Contains(errs.String(), "a fault of its own") || !strings.Contains(errs.String(), "goroutine") {
		t.Errorf("exit %d, %s", code, errs.String())
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { panic("index out of range") }

// A clock that has gone back by years spoils nothing in the book: within the
// bubble it is the year 2000 (testing/synctest).
func TestClockGoingBack(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "book.db")
	book := func(t *testing.T, args ...string) string {
		t.Helper()
		return mustRun(t, append(append([]string{"book"}, args...), "--book", path)...)
	}
	save := func(t *testing.T, title string) {
		t.Helper()
		book(t, "save", "--skin", "tan", "--part", "pale gold=2", "--grams", "100", "--title", title)
	}
	book(t, "add", "lot", "G-0117", "--powder", "pale gold", "--grams", "50")
	save(t, "in time")
	synctest.Test(t, func(t *testing.T) {
		save(t, "before its time")
		book(t, "add", "lot", "G-0118", "--powder", "pale gold", "--grams", "30")
		book(t, "backup", filepath.Join(dir, "backup.db"))
		mustRun(t, "match", "--demo", "--only", "bronze,copper", "--out", filepath.Join(dir, "out"))
		mustRun(t, "match", "--demo", "--only", "bronze,copper", "--out", filepath.Join(dir, "out"))
	})
	blends := book(t, "list", "blends")
	for _, title := range []string{"in time", "before its time"} {
		if !strings.Contains(blends, title) {
			t.Errorf("%q is not among %s", title, blends)
		}
	}
	if stock := book(t, "stock"); !strings.Contains(stock, "G-0117") || !strings.Contains(stock, "G-0118") {
		t.Errorf("the stock is %s", stock)
	}
	book(t, "check")
	book(t, "restore", filepath.Join(dir, "backup.db"))
	if again := book(t, "list", "blends"); again != blends {
		t.Errorf("restored, the book lists %s", again)
	}
}
