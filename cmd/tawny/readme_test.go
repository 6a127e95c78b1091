package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every line of the README that runs the program is run, in order, from a
// folder that has the repository's testdata, and must succeed.
func TestReadmeLines(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	if err := os.Symlink(filepath.Join(root, "testdata"), "testdata"); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	ran := 0
	for n, line := range strings.Split(string(readme), "\n") {
		command, ok := strings.CutPrefix(line, "    ./tawny ")
		if !ok || strings.HasPrefix(command, "page") {
			continue
		}
		if code, out, errs := tawny(t, quoted(command)...); code != 0 || out == "" {
			t.Errorf("README line %d: tawny %s: exit %d: %s", n+1, command, code, errs)
		}
		ran++
	}
	if ran < 15 {
		t.Errorf("only %d lines of the README were found to run", ran)
	}
	for _, made := range []string{"card.png", "sheet.txt", "match.json", "compare.png", "skins.png", "sheet.pdf", "pair.png", "arm.png", "card.pdf", "drawer.csv", "chart-plane.png", "chart-load.png", "book.db"} {
		if info, err := os.Stat(filepath.Join("out", made)); err != nil || info.Size() == 0 {
			t.Errorf("out/%s was not made", made)
		}
	}
}

// quoted splits a line as a shell does where only whole words stand in single
// quotes.
func quoted(line string) (args []string) {
	for i, part := range strings.Split(line, "'") {
		if i%2 == 1 {
			args = append(args, part)
		} else {
			args = append(args, strings.Fields(part)...)
		}
	}
	return args
}
