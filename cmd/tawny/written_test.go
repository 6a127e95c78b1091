package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
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
