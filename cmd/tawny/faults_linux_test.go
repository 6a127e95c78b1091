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

// smallDisk is a disk of a megabyte in memory, and a way to make it read-only.
func smallDisk(t *testing.T) (dir string, readOnly func()) {
	t.Helper()
	dir = t.TempDir()
	mount := func(flags uintptr) error { return syscall.Mount("tmpfs", dir, "tmpfs", flags, "size=1m") }
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
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() || e.Name() == "fill" {
			return err
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
		{"read-only", func(_ string, readOnly func()) func() { readOnly(); return nil }, exitInput, "read-only"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Setenv("XDG_CACHE_HOME", t.TempDir())
			dir, readOnly := smallDisk(t)
			drawer, out := filepath.Join(dir, "drawer.csv"), filepath.Join(dir, "out")
			add := func(name string) []string {
				return []string{"drawer", "add", "--like", "pale gold", "--grade", "10-60", "--name", name, "--drawer", drawer}
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

// A book on a full disk refuses what is written in words and keeps what it has.
func TestBookOnAFullDisk(t *testing.T) {
	dir, _ := smallDisk(t)
	book := filepath.Join(dir, "book.db")
	mustRun(t, "book", "add", "client", "Dancer Ada (demo)", "--book", book)
	free := fill(t, dir)
	code, _, errs := tawny(t, "book", "add", "client", "Dancer Bo (demo)", "--book", book)
	if code != exitFailed || !strings.Contains(errs, "disk") {
		t.Errorf("exit %d, %s", code, errs)
	}
	free()
	list := mustRun(t, "book", "list", "clients", "--book", book)
	if !strings.Contains(list, "Ada") || strings.Contains(list, "Bo") {
		t.Errorf("the book lists %s", list)
	}
	mustRun(t, "book", "check", "--book", book)
}
