package book

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"tawny/blend/store"
)

// oldAndNew makes a folder with a book of one client, left with a log as a
// killed program leaves it, and a backup of a book of another.
func oldAndNew(t *testing.T) (path, backup string) {
	t.Helper()
	ctx := t.Context()
	dir := t.TempDir()
	path, backup = filepath.Join(dir, "book.db"), filepath.Join(dir, "backup.db")
	other := newBook(t)
	for b, name := range map[*Book]string{other: "new", must1[*Book](t)(Open(ctx, filepath.Join(dir, "live.db"))): "old"} {
		must1[int64](t)(Add(ctx, b, Client{Name: name}))
		if name == "new" {
			if err := b.Backup(ctx, backup); err != nil {
				t.Fatal(err)
			}
			continue
		}
		for _, suffix := range []string{"", "-wal"} {
			content := must1[[]byte](t)(os.ReadFile(b.path + suffix))
			if err := os.WriteFile(path+suffix, content, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		b.Close()
		os.Remove(b.path)
	}
	if log, err := os.Stat(path + "-wal"); err != nil || log.Size() == 0 {
		t.Fatalf("the old book has no log: %v", err)
	}
	return path, backup
}

// clientsOf are the clients' names of a book that opens and is sound.
func clientsOf(t *testing.T, path string) (names string) {
	t.Helper()
	if _, err := os.Stat(path); err != nil {
		t.Fatal(err)
	}
	b := must1[*Book](t)(Open(t.Context(), path))
	defer b.Close()
	if found, err := b.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("%s: %v %v", path, found, err)
	}
	for _, c := range must1[[]Client](t)(All[Client](t.Context(), b)) {
		names += c.Name
	}
	return names
}

// A book that is open anywhere is not replaced, and what it then writes is in
// the book.
func TestRestoreWhileOpen(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	path, backup := oldAndNew(t)
	b := must1[*Book](t)(Open(ctx, path))
	link := filepath.Join(t.TempDir(), "link.db")
	if err := os.Symlink(path, link); err != nil {
		t.Skip(err)
	}
	for _, name := range []string{path, link} {
		if kept, err := Restore(ctx, backup, name); !errors.Is(err, ErrBusy) || kept != "" {
			t.Errorf("%s: %q %v", name, kept, err)
		}
	}
	must1[int64](t)(Add(ctx, b, Client{Name: "er"}))
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if got := clientsOf(t, path); got != "erold" {
		t.Errorf("%s", got)
	}
	kept, err := Restore(ctx, backup, link)
	if err != nil || !strings.HasPrefix(kept, path) {
		t.Errorf("once closed: %q %v", kept, err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link was replaced: %v", err)
	}
	if got := clientsOf(t, path); got != "new" {
		t.Errorf("restored: %s", got)
	}
}

// A writer whose file was replaced under it notices and stops.
func TestReplacedWhileOpen(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	path, backup := oldAndNew(t)
	b := must1[*Book](t)(Open(ctx, path))
	defer b.Close()
	if err := os.Rename(backup, path); err != nil {
		t.Fatal(err)
	}
	if _, err := Add(ctx, b, Client{Name: "lost"}); !errors.Is(err, ErrReplaced) || !strings.Contains(err.Error(), path) {
		t.Errorf("%v", err)
	}
	os.Remove(path)
	if _, err := Add(ctx, b, Client{Name: "lost"}); !errors.Is(err, ErrReplaced) {
		t.Errorf("gone: %v", err)
	}
}

// restoreSteps are all that a restore does to the disk.
var restoreSteps = []string{"copy", "fold", "keep", "keep-wal", "clear-wal", "clear-shm", "rename", "done"}

// killedRestore restores, and ends its own process at a step.
func killedRestore(ctx context.Context, path, step string) error {
	fault = func(at string) error {
		fmt.Println(at)
		if at == step {
			self, err := os.FindProcess(os.Getpid())
			if err != nil {
				return err
			}
			self.Kill()
			select {}
		}
		return nil
	}
	_, err := Restore(ctx, filepath.Join(filepath.Dir(path), "backup.db"), path)
	return err
}

// Killed at every step, a restore leaves the old book or the new one, whole,
// and keeps the old one; the next restore succeeds.
func TestRestoreKilledAtEveryStep(t *testing.T) {
	t.Parallel()
	if runtime.GOOS == "windows" {
		t.Skip("Windows has no SIGKILL")
	}
	for i, step := range restoreSteps {
		path, backup := oldAndNew(t)
		out, err := startChild(t, path, "restore killed at "+step).Output()
		if err == nil {
			t.Fatalf("%s: not killed", step)
		}
		if got := strings.Fields(string(out)); len(got) != i+1 || got[i] != step {
			t.Fatalf("%s: the steps were %v", step, got)
		}
		want := "old"
		if step == "done" {
			want = "new"
		}
		if got := clientsOf(t, path); got != want {
			t.Errorf("%s: the book is %q", step, got)
		}
		if _, err := Restore(t.Context(), backup, path); err != nil {
			t.Errorf("%s: again: %v", step, err)
		}
		if got := clientsOf(t, path); got != "new" {
			t.Errorf("%s: restored again, the book is %q", step, got)
		}
		kept := must1[[]string](t)(filepath.Glob(path + ".kept-*[0-9]"))
		old := 0
		for _, name := range kept {
			if clientsOf(t, name) == "old" {
				old++
			}
		}
		if old == 0 {
			t.Errorf("%s: the old book was not kept: %v", step, kept)
		}
	}
}

// A step that fails, as on a full disk, leaves the old book where it was.
func TestRestoreThatFails(t *testing.T) {
	full := errors.New("no space left")
	defer func() { fault = func(string) error { return nil } }()
	for _, step := range restoreSteps[:len(restoreSteps)-1] {
		path, backup := oldAndNew(t)
		fault = func(at string) error {
			if at == step {
				return full
			}
			return nil
		}
		if _, err := Restore(t.Context(), backup, path); !errors.Is(err, full) {
			t.Errorf("%s: %v", step, err)
		}
		if got := clientsOf(t, path); got != "old" {
			t.Errorf("%s: the book is %q", step, got)
		}
		left := must1[[]string](t)(filepath.Glob(filepath.Join(filepath.Dir(path), store.Unfinished+"*")))
		if len(left) > 0 {
			t.Errorf("%s: left behind %v", step, left)
		}
	}
}

// A restored book knows of the backup that it came from and of the files that the book
// before it knew of, so that forgetting a client still names them.
func TestRestoreKeepsWhatWasNoted(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	dir := t.TempDir()
	path, backup, export, card := filepath.Join(dir, "b", "book.db"), filepath.Join(dir, "bk.db"), filepath.Join(dir, "ex.json"), filepath.Join(dir, "card.png")
	if err := os.WriteFile(card, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	b := must1[*Book](t)(Open(ctx, path))
	who := must1[int64](t)(Add(ctx, b, Client{Name: "Dancer Ada (demo)"}))
	if err := b.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	must1[Exported](t)(b.ExportFile(ctx, export, ExportOptions{Clients: true}))
	must1[int64](t)(Add(ctx, b, File{ClientID: who, Path: card}))
	b.Close()
	must1[string](t)(Restore(ctx, backup, path))
	b = must1[*Book](t)(Open(ctx, path))
	defer b.Close()
	if f := must1[Forgotten](t)(b.Forget(ctx, "Dancer Ada (demo)", false, true)); !slices.Equal(f.Files, []string{backup, card, export}) {
		t.Errorf("named %v", f.Files)
	}
}

// A book that another account has open, which shares no lock's folder with this one, is
// not replaced.
func TestRestoreWhileAnotherAccountHasItOpen(t *testing.T) {
	t.Parallel()
	path, backup := oldAndNew(t)
	other := open(path, "rw")
	defer other.Close()
	var n int
	if err := other.QueryRow("SELECT count(*) FROM client").Scan(&n); err != nil {
		t.Fatal(err)
	}
	if kept, err := Restore(t.Context(), backup, path); !errors.Is(err, ErrBusy) || kept != "" {
		t.Errorf("%q %v", kept, err)
	}
	other.Close()
	if got := clientsOf(t, path); got != "old" {
		t.Errorf("the book is %q", got)
	}
}

// A backup with somebody else's trigger, or whose schema is not what it says, is not
// restored, and neither is what is no file; the words are of the book, not of it.
func TestRestoreRefusesAnotherSchema(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ spoil, says string }{
		{"CREATE TRIGGER a AFTER INSERT ON client BEGIN UPDATE client SET name = 'x' || id; END", "not the book's own"},
		{"PRAGMA user_version = 3", "its schema is said to be 3"},
		{"DROP VIEW stock", "stock: missing"},
	} {
		path, backup := oldAndNew(t)
		db := open(backup, "rw")
		if _, err := db.Exec(c.spoil); err != nil {
			t.Fatal(err)
		}
		db.Close()
		if _, err := Restore(t.Context(), backup, path); !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), "Name another backup") {
			t.Errorf("%s: %v", c.spoil, err)
		}
		if got := clientsOf(t, path); got != "old" {
			t.Errorf("%s: the book is %q", c.spoil, got)
		}
		if _, err := Restore(t.Context(), filepath.Dir(backup), path); err == nil || !strings.Contains(err.Error(), "not a file") {
			t.Errorf("a folder: %v", err)
		}
	}
}
