package main

import (
	"bytes"
	"fmt"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
)

// eachCommand calls f for every command that can be run.
func eachCommand(c *cobra.Command, f func(*cobra.Command)) {
	for _, sub := range c.Commands() {
		eachCommand(sub, f)
	}
	if c.Runnable() && !c.Hidden {
		f(c)
	}
}

// splitWords splits a command line as a shell does, as far as help uses it:
// blanks, quotes of either kind, and a comment at the end.
func splitWords(t *testing.T, line string) (words []string) {
	t.Helper()
	var word strings.Builder
	in, quote := false, rune(0)
	for _, r := range line {
		switch {
		case quote != 0:
			if r == quote {
				quote = 0
				continue
			}
			word.WriteRune(r)
		case r == '\'' || r == '"':
			in, quote = true, r
		case r == '#' && !in:
			return words
		case r == ' ' || r == '\t':
			if in {
				words, in = append(words, word.String()), false
				word.Reset()
			}
		default:
			in = true
			word.WriteRune(r)
		}
	}
	if quote != 0 {
		t.Fatalf("an open quote in %q", line)
	}
	if in {
		words = append(words, word.String())
	}
	return words
}

// needsMore tells why an example cannot be run here, or "".
func needsMore(words []string) string {
	switch {
	case words[0] != "tawny" && words[0] != "./tawny":
		return "another program's"
	case len(words) > 1 && words[1] == "page":
		return "serves pages until it is stopped"
	case len(words) > 1 && words[1] == "completion":
		return "written for a shell's own folders"
	}
	return ""
}

// fromNothing are the commands whose examples begin a book; the other book
// commands are run on one in use.
var fromNothing = map[string]bool{
	"tawny book": true, "tawny book add": true, "tawny book add client": true, "tawny book add lot": true, "tawny book add powder": true,
}

// answersByCode are examples that are right to end with exit code 2: a check
// that finds something, and a removal that asks to be meant.
var answersByCode = map[string]bool{
	"tawny base check mine.csv --part 'ultramarine blue=0.3'":             true,
	"tawny base check mine.csv --part 'ultramarine blue=0.3' --area lips": true,
	"tawny book forget 'Dancer Ada (demo)'":                               true,
}

// workshop lays out folders as the examples speak of them: the demo data, a
// base of one's own, photos, and a book in use with its exports.
type workshop struct {
	files map[string][]byte
	book  []byte
}

func newWorkshop(t *testing.T) (w workshop) {
	t.Helper()
	w.files = map[string][]byte{}
	for _, pattern := range []string{"fit/*", "photo/*"} {
		list, err := filepath.Glob("../../testdata/" + pattern)
		if err != nil || len(list) == 0 {
			t.Fatal(pattern, err)
		}
		for _, path := range list {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			w.files[strings.TrimPrefix(filepath.ToSlash(path), "../../")] = data
		}
	}
	w.files["mine.csv"] = []byte(mustRun(t, "base", "show", "Everyday lotion", "--csv"))
	w.files["arm.jpg"] = w.files["testdata/photo/smear-demo.jpg"]
	img, err := jpeg.Decode(bytes.NewReader(w.files["arm.jpg"]))
	if err != nil {
		t.Fatal(err)
	}
	var pressed bytes.Buffer
	if err := png.Encode(&pressed, img); err != nil {
		t.Fatal(err)
	}
	w.files["jar.png"] = pressed.Bytes()
	dir := t.TempDir()
	run := func(args ...string) {
		mustRun(t, append(append([]string{"book"}, args...), "--book", filepath.Join(dir, "book.db"))...)
	}
	for lot, powder := range map[string]string{"G-0117": "pale gold", "G-0245": "pale gold", "B-9": "bronze", "LOT-7": "red oxide"} {
		run("add", "lot", lot, "--powder", powder, "--grams", "100")
	}
	run("add", "client", bookedDancer)
	for i := range 12 {
		run("add", "reading", fmt.Sprintf("lab:%.1f,11.3,14.4", 64+0.1*float64(i)), "--client", bookedDancer, "--place", "inner forearm")
	}
	for range 3 {
		run("save", "--skin", "tan", "--part", "pale gold=3", "--part", "bronze=1", "--grams", "100")
	}
	run("mend-record", "2", "--how", "by eye", "--add", "bronze=0.2")
	run("backup", filepath.Join(dir, "whole.db"))
	if w.book, err = os.ReadFile(filepath.Join(dir, "whole.db")); err != nil {
		t.Fatal(err)
	}
	return w
}

// open lays the folder out and works in it.
func (w workshop) open(t *testing.T, command string) {
	t.Helper()
	dir := t.TempDir()
	t.Chdir(dir)
	t.Setenv("TAWNY_BOOK", filepath.Join(dir, "book.db"))
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", dir)
	put := func(name string, data []byte) {
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for name, data := range w.files {
		put(name, data)
	}
	if !strings.HasPrefix(command, "tawny book") && command != "tawny reorder" && command != "tawny mend" && command != "tawny labels" && command != "tawny batch" || fromNothing[command] {
		return
	}
	for _, name := range []string{"book.db", "old.db", "book-2026-05-31.db"} {
		put(name, w.book)
	}
	switch command {
	case "tawny book import":
		mustRun(t, "book", "export", "book.json")
		mustRun(t, "book", "export", "book-csv")
	case "tawny book backup":
		os.Remove("book-2026-05-31.db")
	}
}

// Every example in every command's help runs as it is written, one after the
// other, in a folder with what the help speaks of and nothing else.
func TestExamplesRun(t *testing.T) {
	if testing.Short() {
		t.Skip("runs every example; some ten seconds")
	}
	w := newWorkshop(t)
	ran := 0
	eachCommand(newRoot(), func(c *cobra.Command) {
		if c.Example == "" {
			return
		}
		t.Run(strings.ReplaceAll(c.CommandPath(), " ", "-"), func(t *testing.T) {
			w.open(t, c.CommandPath())
			for _, line := range strings.FieldsFunc(c.Example, func(r rune) bool { return r == '\n' }) {
				for _, part := range strings.Split(line, "&&") {
					if example(t, strings.TrimSpace(part)) {
						ran++
					}
				}
				os.Remove("new.db") // the next is another way to begin it
			}
		})
	})
	t.Logf("%d examples ran", ran)
	if ran < 100 {
		t.Errorf("only %d examples ran", ran)
	}
}

// example runs one line and tells whether it could be run.
func example(t *testing.T, line string) bool {
	t.Helper()
	words := splitWords(t, line)
	if len(words) == 0 {
		return false
	}
	if why := needsMore(words); why != "" {
		t.Logf("not run, %s: %s", why, line)
		return false
	}
	file := ""
	if n := len(words); n > 2 && words[n-2] == ">" {
		file, words = words[n-1], words[:n-2]
	}
	code, out, errs := tawny(t, words[1:]...)
	if code != 0 && !(code == 2 && answersByCode[line]) {
		t.Errorf("%s\nexit %d: %s", line, code, errs)
		return true
	}
	if file != "" {
		if err := os.WriteFile(file, []byte(out), 0o644); err != nil {
			t.Error(err)
		}
	}
	return true
}

// Help is read in a terminal of some 80 columns; a word more is let pass.
func TestHelpFitsATerminal(t *testing.T) {
	eachCommand(newRoot(), func(c *cobra.Command) {
		for _, line := range strings.Split(c.Long, "\n") {
			if n := utf8.RuneCountInString(line); n > 92 {
				t.Errorf("%s: a line of %d letters: %s", c.CommandPath(), n, line)
			}
		}
	})
}
