package main

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
)

// smallDisk is a disk of four megabytes in memory, which holds a run's files twice, and a way to make it read-only.
func smallDisk(t *testing.T) (dir string, readOnly func()) {
	t.Helper()
	dir = t.TempDir()
	mount := func(flags uintptr) error { return syscall.Mount("tmpfs", dir, "tmpfs", flags, "size=4m") }
	if err := mount(0); err != nil {
		t.Skip("no disk can be mounted here, as an administrator of a Linux machine could:", err)
	}
	t.Cleanup(func() { syscall.Unmount(dir, 0) })
	return dir, func() {
		if err := mount(syscall.MS_REMOUNT | syscall.MS_RDONLY); err != nil {
			t.Fatal(err)
		}
	}
}

// fill takes what is left of a disk and returns a way to give it back.
func fill(t *testing.T, dir string) (free func()) {
	t.Helper()
	path := filepath.Join(dir, "fill")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for block := make([]byte, 512); err == nil; {
		_, err = f.Write(block)
	}
	return func() { os.Remove(path) }
}

// contents are a folder's files by name.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	return filesBut(t, dir, func(name string) bool { return name == "fill" })
}

func filesBut(t *testing.T, dir string, but func(name string) bool) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case but(e.Name()) && e.IsDir():
			return filepath.SkipDir
		case but(e.Name()) || e.IsDir():
			return nil
		}
		data, err := os.ReadFile(path)
		all[path] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// On a disk that is full or may not be written, the files of a run and a drawer
// stay as they are, byte for byte, nothing is left beside them, and it is said
// why.
func TestDiskThatTakesNothing(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(dir string, readOnly func()) (mend func())
		code  int
		says  string
	}{
		{"full", func(dir string, _ func()) func() { return fill(t, dir) }, exitFailed, "no space left"},
		{"read-only", func(_ string, readOnly func()) func() { readOnly(); return nil }, exitFailed, "read-only"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Setenv("XDG_CACHE_HOME", t.TempDir())
			dir, readOnly := smallDisk(t)
			drawer, out := filepath.Join(dir, "drawer.csv"), filepath.Join(dir, "out")
			add := func(name string) []string {
				return []string{"drawer", "add", "--like", "pale gold", "--size", "10-60", "--name", name, "--drawer", drawer}
			}
			match := []string{"match", "--demo", "--out", out}
			mustRun(t, match...)
			mustRun(t, add("gold one")...)
			before := contents(t, dir)
			if len(before) < 4 {
				t.Fatalf("only %v were written", slices.Sorted(maps.Keys(before)))
			}
			mend := c.spoil(dir, readOnly)
			for _, args := range [][]string{match, add("gold two")} {
				code, _, errs := tawny(t, args...)
				if code != c.code || !strings.Contains(errs, c.says) {
					t.Errorf("%s: exit %d, %s", args[0], code, errs)
				}
			}
			if !maps.Equal(contents(t, dir), before) {
				t.Errorf("the folder has changed: %v", slices.Sorted(maps.Keys(contents(t, dir))))
			}
			if mend != nil {
				mend()
				mustRun(t, match...)
				mustRun(t, add("gold two")...)
			}
		})
	}
}

// A book on a disk that is full or may not be written is read, checked, exported
// and backed up to elsewhere, refuses in words what is to be written, and keeps
// what it has.
func TestBookOnADiskThatTakesNothing(t *testing.T) {
	for name, spoil := range map[string]func(*testing.T, string, func()){
		"full":      func(t *testing.T, dir string, _ func()) { fill(t, dir) },
		"read-only": func(_ *testing.T, _ string, readOnly func()) { readOnly() },
	} {
		t.Run(name, func(t *testing.T) {
			dir, readOnly := smallDisk(t)
			elsewhere, path := t.TempDir(), filepath.Join(dir, "book.db")
			book := func(args ...string) []string { return append(append([]string{"book"}, args...), "--book", path) }
			mustRun(t, book("add", "client", "Dancer Ada (demo)")...)
			mustRun(t, book("save", "--skin", "tan", "--part", "pale gold=2", "--grams", "100")...)
			spoil(t, dir, readOnly)
			code, _, errs := tawny(t, book("add", "client", "Dancer Bo (demo)")...)
			if code != exitFailed || !strings.Contains(errs, "cannot be written") {
				t.Errorf("exit %d, %s", code, errs)
			}
			for _, args := range [][]string{{"list"}, {"show", "blend", "1"}, {"stock"}, {"check"}, {"export", filepath.Join(elsewhere, "book.json")}, {"backup", filepath.Join(elsewhere, "backup.db")}} {
				mustRun(t, book(args...)...)
			}
			clients := mustRun(t, "book", "list", "clients", "--book", filepath.Join(elsewhere, "backup.db"))
			if !strings.Contains(clients, "Ada") || strings.Contains(clients, "Bo") {
				t.Errorf("the backup lists %s", clients)
			}
		})
	}
}
