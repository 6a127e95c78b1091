//go:build unix

package book

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

func init() {
	children["read on a full disk"] = func(ctx context.Context, path string) error {
		// No file may grow: what a full disk does to a program, less the error's name.
		signal.Ignore(syscall.SIGXFSZ)
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{}); err != nil {
			return err
		}
		b, err := Open(ctx, path)
		if err != nil {
			return err
		}
		defer b.Close()
		to := filepath.Join(filepath.Dir(path), "elsewhere", "full.db")
		if err := b.Backup(ctx, to); err == nil || !strings.Contains(err.Error(), to+": the disk it would be on is full") || strings.Contains(err.Error(), path+":") {
			return fmt.Errorf("a backup to a full disk: %w", err)
		}
		return readAll(ctx, path, "")
	}
	children["read in another's folder"] = func(ctx context.Context, path string) error {
		if os.Getuid() == 0 { // whom no permission stops
			if err := syscall.Setuid(65534); err != nil {
				return err
			}
		}
		return readAll(ctx, path, filepath.Join(filepath.Dir(path), "elsewhere", "backup.db"))
	}
}

// readAll does all that needs no writing, makes a backup elsewhere where that
// is not empty, and finds a write refused.
func readAll(ctx context.Context, path, elsewhere string) error {
	b, err := Open(ctx, path)
	if err != nil {
		return err
	}
	for _, kind := range Kinds {
		entries, err := b.List(ctx, kind)
		if err != nil {
			return fmt.Errorf("list %s: %w", kind, err)
		}
		for _, e := range entries {
			if _, err := b.Show(ctx, kind, e.ID); err != nil {
				return fmt.Errorf("show %s %d: %w", kind, e.ID, err)
			}
		}
	}
	if lots, err := b.Stock(ctx); err != nil || len(lots) != 3 {
		return fmt.Errorf("stock: %v %w", lots, err)
	}
	if found, err := b.Check(ctx); err != nil || len(found) > 0 {
		return fmt.Errorf("check: %v %w", found, err)
	}
	if _, err := b.ExportJSON(ctx, io.Discard, ExportOptions{Clients: true}); err != nil {
		return fmt.Errorf("export: %w", err)
	}
	if elsewhere != "" {
		if err := b.Backup(ctx, elsewhere); err != nil {
			return fmt.Errorf("backup: %w", err)
		}
	}
	if _, err := Add(ctx, b, Client{Name: "too much"}); !errors.Is(err, ErrReadOnly) || !strings.Contains(err.Error(), "nothing of this change was written") {
		return fmt.Errorf("a write: %w", err)
	}
	return b.Close()
}

// On a full disk, and in a folder that is another's, the book is read, checked,
// exported and backed up elsewhere, and a write is refused in words.
func TestReadingNeedsNoWriting(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	copied := filepath.Join(filepath.Dir(b.path), "copied.db") // not in SQLite's WAL mode, as the book is
	if err := errors.Join(b.Backup(t.Context(), copied), b.Close()); err != nil {
		t.Fatal(err)
	}
	dir := filepath.Dir(b.path)
	elsewhere := filepath.Join(dir, "elsewhere")
	if err := os.Mkdir(elsewhere, 0o777); err != nil {
		t.Fatal(err)
	}
	for name, mode := range map[string]os.FileMode{filepath.Dir(dir): 0o755, elsewhere: 0o777, b.path: 0o444, dir: 0o555} {
		if err := os.Chmod(name, mode); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() { os.Chmod(dir, 0o755) })
	for does := range children {
		if out, err := startChild(t, b.path, does).CombinedOutput(); err != nil {
			t.Errorf("%s: %v\n%s", does, err, out)
		}
	}
	if out, err := startChild(t, copied, "read on a full disk").CombinedOutput(); err != nil {
		t.Errorf("a copied backup on a full disk: %v\n%s", err, out)
	}
	if _, err := os.Stat(filepath.Join(elsewhere, "backup.db")); err != nil {
		t.Error(err)
	}
}
