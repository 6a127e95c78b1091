package book

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// The first write of a day puts a backup of what was there before beside the
// book, and no more than a week of them is kept.
func TestAutomaticBackups(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	b := demoBook(t)
	before := exportJSON(t, b, ExportOptions{Clients: true})
	folder := BackupFolder(b.path)
	if _, err := os.Stat(folder); err == nil {
		t.Fatal("reading made a backup")
	}
	for _, day := range []string{"2026-01-01", "2026-01-02", "2026-01-03", "2026-01-04", "2026-01-05", "2026-01-06", "2026-01-07-schema-7", "2026-01-08"} {
		if err := errors.Join(os.MkdirAll(folder, 0o700), os.WriteFile(filepath.Join(folder, day+".db"), []byte("not good"), 0o600)); err != nil {
			t.Fatal(err)
		}
	}
	own := filepath.Join(folder, "before the season.db")
	os.WriteFile(own, []byte("hers"), 0o600)
	for range 2 {
		must1[int64](t)(Add(ctx, b, Skin{Name: "later", How: "hex"}))
	}
	if kept := backups(b.path); len(kept) != keptDays || filepath.Base(kept[0]) != "2026-01-03.db" {
		t.Errorf("%v", kept)
	}
	if _, err := os.Stat(own); err != nil {
		t.Errorf("a file of hers: %v", err)
	}
	newest := NewestBackup(ctx, b.path)
	old, err := Open(ctx, newest)
	if err != nil {
		t.Fatal(err)
	}
	defer old.Close()
	if exportJSON(t, old, ExportOptions{Clients: true}) != before {
		t.Error("the backup is not the book before the first write")
	}
	b.Close()
	if err := os.WriteFile(b.path, []byte("SQLite format 3\x00 and no more"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(ctx, b.path); err == nil || !strings.Contains(err.Error(), newest) {
		t.Errorf("the error of a damaged book does not name %s: %v", newest, err)
	}
	if _, err := Restore(ctx, newest, b.path); err != nil {
		t.Error(err)
	}
}

// A backup that cannot be made keeps nobody from writing.
func TestWriteWithoutBackup(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	if err := os.WriteFile(BackupFolder(b.path), []byte("in the way"), 0o600); err != nil {
		t.Fatal(err)
	}
	must1[int64](t)(Add(t.Context(), b, Skin{Name: "later", How: "hex"}))
	if newest := NewestBackup(t.Context(), b.path); newest != "" {
		t.Errorf("backed up to %s", newest)
	}
	if err := b.Warning(); err == nil || !strings.Contains(err.Error(), BackupFolder(b.path)) {
		t.Errorf("told of it: %v", err)
	}
	if err := b.Warning(); err != nil {
		t.Errorf("told of it twice: %v", err)
	}
}

// A change of the schema is preceded by a backup of the book as it was.
func TestBackupBeforeTheSchemaChanges(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "book.db")
	bookAt(t, path, namesStep-1).Close()
	b := must1[*Book](t)(Open(t.Context(), path))
	defer b.Close()
	kept := backups(path)
	if len(kept) != 1 || !strings.HasSuffix(kept[0], "-schema-7.db") {
		t.Fatalf("%v", kept)
	}
	if v, err := glance(t.Context(), kept[0], "ro", glanceTime); v != namesStep-1 || err != nil {
		t.Errorf("%d %v", v, err)
	}
}

// Backups of days still to come, by a clock that was ahead, are neither the newest nor
// what is kept before true ones.
func TestBackupsOfAClockAhead(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	folder := BackupFolder(b.path)
	for _, day := range []string{"2099-01-01", "2099-01-02", "2099-01-03", "2099-01-04", "2099-01-05", "2099-01-06", "2026-01-02"} {
		if err := b.copyTo(t.Context(), filepath.Join(mustFolder(t, folder), day+".db")); err != nil {
			t.Fatal(err)
		}
	}
	if newest := NewestBackup(t.Context(), b.path); filepath.Base(newest) != "2026-01-02.db" {
		t.Errorf("the newest is %s", newest)
	}
	must1[int64](t)(Add(t.Context(), b, Skin{Name: "later", How: "hex"}))
	kept := backups(b.path)
	if len(kept) != keptDays || filepath.Base(kept[len(kept)-1]) != today()+".db" || filepath.Base(kept[len(kept)-2]) != "2026-01-02.db" {
		t.Errorf("kept %v", kept)
	}
}

func mustFolder(t *testing.T, dir string) string {
	t.Helper()
	if err := os.MkdirAll(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	return dir
}

// A backup that another program made in the meantime is as good.
func TestBackupsMadeAtOnce(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	var wait sync.WaitGroup
	for range 4 {
		other := must1[*Book](t)(Open(t.Context(), b.path))
		defer other.Close()
		wait.Go(func() {
			for range 5 {
				if err := other.backUpAnew(t.Context()); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wait.Wait()
	if NewestBackup(t.Context(), b.path) == "" {
		t.Error("no backup is left")
	}
}
