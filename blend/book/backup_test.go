package book

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// A backup is the whole book, taken while it is in use, and restores.
func TestBackupAndRestore(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	want := exportJSON(t, b, ExportOptions{Clients: true})
	dir := t.TempDir()
	backup := filepath.Join(dir, "backup.db")
	if err := b.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	if info, _ := os.Stat(backup); runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v", info.Mode())
	}
	if err := b.Backup(ctx, backup); err == nil {
		t.Error("a backup replaced a file")
	}

	// The book is damaged; what was in its log must not come back to the new one.
	path := filepath.Join(dir, "book.db")
	os.WriteFile(path, []byte("damaged beyond reading"), 0o600)
	os.WriteFile(path+"-wal", []byte("its log"), 0o600)
	keptAs, err := Restore(ctx, backup, path)
	if err != nil {
		t.Fatal(err)
	}
	for suffix, content := range map[string]string{"": "damaged beyond reading", "-wal": "its log"} {
		if got, _ := os.ReadFile(keptAs + suffix); string(got) != content {
			t.Errorf("the damaged book's %q was not kept: %q", suffix, got)
		}
	}
	restored, err := Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer restored.Close()
	if got := exportJSON(t, restored, ExportOptions{Clients: true}); got != want {
		t.Error("what was restored is another book")
	}
	names, _ := filepath.Glob(filepath.Join(dir, ".*"))
	if len(names) > 0 {
		t.Errorf("left behind: %v", names)
	}
}

// A backup that does not read back is not put in a book's place.
func TestRestoreRefusesADamagedBackup(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	dir := t.TempDir()
	backup := filepath.Join(dir, "backup.db")
	if err := b.Backup(t.Context(), backup); err != nil {
		t.Fatal(err)
	}
	content, _ := os.ReadFile(backup)
	path := filepath.Join(dir, "book.db")
	os.WriteFile(path, []byte("still here"), 0o600)
	for name, broken := range map[string][]byte{
		"cut": content[:len(content)/2], "empty": nil, "other": []byte("not a book"),
		"page": append(bytes.Clone(content[:4096]), append(bytes.Repeat([]byte{7}, 4096), content[8192:]...)...),
	} {
		os.WriteFile(backup, broken, 0o600)
		if _, err := Restore(t.Context(), backup, path); err == nil || !strings.Contains(err.Error(), "will not do") {
			t.Errorf("%s: %v", name, err)
		}
		if got, _ := os.ReadFile(path); string(got) != "still here" {
			t.Fatalf("%s: the book was touched", name)
		}
	}
	if _, err := Restore(t.Context(), filepath.Join(dir, "none"), path); !errors.Is(err, os.ErrNotExist) {
		t.Error(err)
	}
}

// A backup named from the folder one stands in is found.
func TestRestoreFromRelativePath(t *testing.T) {
	t.Chdir(t.TempDir())
	ctx := t.Context()
	b, err := Open(ctx, "book.db")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Add(ctx, b, Client{Name: "Dancer Ada (demo)"}); err != nil {
		t.Fatal(err)
	}
	if err := b.Backup(ctx, "copy.db"); err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(ctx, "copy.db", "book.db"); err != nil {
		t.Error(err)
	}
	if kept, err := Restore(ctx, "./book.db", "book.db"); err == nil || kept != "" || !strings.Contains(err.Error(), "the book itself") {
		t.Errorf("restored onto itself: kept as %q, %v", kept, err)
	}
	if kept := putAside("book.db"); len(kept) != 1 {
		t.Errorf("put aside: %v", kept)
	}
}
