package book

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// A new book is its owner's alone, marked as a book, and set to lose nothing.
func TestOpenMakesABook(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "new folder", "odd name ?#%20'.db")
	b, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	if info, err := os.Stat(path); err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("%v %v, want mode 0600", info.Mode(), err)
	}
	for pragma, want := range map[string]string{
		"application_id": "1415673710", "user_version": "12", "journal_mode": "wal", "synchronous": "2",
		"foreign_keys": "1", "secure_delete": "1", "busy_timeout": "10000",
	} {
		var got string
		if err := b.db.QueryRow("PRAGMA " + pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s is %s (%v), want %s", pragma, got, err, want)
		}
	}
	if _, err := Add(t.Context(), b, Client{Name: "Dancer demo"}); err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	left, _ := os.ReadDir(filepath.Dir(path))
	if len(left) != 1 {
		t.Errorf("after Close there is more than the one file: %v", left)
	}
	again, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if _, err := Named[Client](t.Context(), again, "dancer demo"); err != nil {
		t.Error(err)
	}
}

func TestDefaultPath(t *testing.T) {
	t.Setenv("TAWNY_BOOK", "/somewhere/else.db")
	if p, err := DefaultPath(); err != nil || p != "/somewhere/else.db" {
		t.Errorf("%s %v", p, err)
	}
	t.Setenv("TAWNY_BOOK", "")
	config, err := os.UserConfigDir()
	if err != nil {
		t.Skip("this system has no configuration folder")
	}
	if p, err := DefaultPath(); err != nil || p != filepath.Join(config, "tawny", "book.db") {
		t.Errorf("%s %v", p, err)
	}
}

// What is no sound book is refused with the reason and left byte for byte as
// it was.
func TestUnsoundFilesAreRefused(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	b := demoBook(t)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	sound, err := os.ReadFile(b.path)
	if err != nil {
		t.Fatal(err)
	}
	foreign := filepath.Join(dir, "foreign.db")
	db, _ := sql.Open("sqlite", foreign)
	if _, err := db.Exec("CREATE TABLE song (title TEXT); INSERT INTO song VALUES ('la')"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	other, _ := os.ReadFile(foreign)

	page := func(n int, fill byte) []byte { // with page n, from 1, overwritten
		broken := bytes.Clone(sound)
		copy(broken[(n-1)*4096:], bytes.Repeat([]byte{fill}, 4096))
		return broken
	}
	for _, c := range []struct {
		name    string
		content []byte
		want    error
		says    string
	}{
		{"empty", nil, ErrDamaged, "restore"},
		{"cut in half", sound[:len(sound)/8192*4096], ErrDamaged, "restore"},
		{"cut within a page", sound[:len(sound)-4096-1000], ErrDamaged, "restore"},
		{"page of zeros", page(3, 0), ErrDamaged, "restore"},
		{"page of noise", page(5, 0xa5), ErrDamaged, "restore"},
		{"schema overwritten", append(bytes.Clone(sound[:100]), page(1, 0x5a)[100:]...), ErrDamaged, "restore"},
		{"header overwritten", page(1, 0x41), ErrNotABook, "backup"},
		{"a text", []byte("dear diary, this is no book at all, whatever its name says"), ErrNotABook, "name another file"},
		{"one byte", []byte("x"), ErrNotABook, "name another file"},
		{"another program's", other, ErrNotABook, "some other program"},
	} {
		path := filepath.Join(t.TempDir(), "book.db")
		if err := os.WriteFile(path, c.content, 0o600); err != nil {
			t.Fatal(err)
		}
		b, err := Open(t.Context(), path)
		if !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), path) {
			t.Errorf("%s: %v\nwant %v that names the file and says %q", c.name, err, c.want, c.says)
		}
		if kept := err != nil && strings.Contains(err.Error(), "is kept beside it"); kept != (c.want == ErrDamaged) {
			t.Errorf("%s: of keeping a damaged file: %v", c.name, err)
		}
		if err == nil {
			b.Close()
		}
		if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, c.content) {
			t.Errorf("%s: the file was changed (%v)", c.name, err)
		}
	}
	if _, err := Open(t.Context(), dir); !errors.Is(err, ErrNotABook) {
		t.Errorf("a folder: %v", err)
	}
}

// Whatever bit of the header is flipped, the book is opened or refused in words,
// and a refused one is left as it was. The header is 100 bytes (the SQLite file
// format, 1.3).
func TestFlippedBitsInTheHeader(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	sound, err := os.ReadFile(b.path)
	if err != nil {
		t.Fatal(err)
	}
	refused := 0
	for bit := range 100 * 8 {
		if bit%8 != 0 && bit%8 != 7 && bit/8 != 63 { // each byte's ends, and the whole schema version
			continue
		}
		flipped := bytes.Clone(sound)
		flipped[bit/8] ^= 1 << (bit % 8)
		path := filepath.Join(t.TempDir(), "book.db")
		if err := os.WriteFile(path, flipped, 0o600); err != nil {
			t.Fatal(err)
		}
		b, err := Open(t.Context(), path)
		if err == nil {
			b.Close()
			continue
		}
		refused++
		if !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrNotABook) && !errors.Is(err, ErrNewer) {
			t.Errorf("byte %d, bit %d: %v", bit/8, bit%8, err)
		}
		if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, flipped) {
			t.Errorf("byte %d, bit %d: the refused file was changed (%v)", bit/8, bit%8, err)
		}
	}
	if refused < 50 {
		t.Errorf("only %d were refused", refused)
	}
}

// A log whose book is missing is not taken for a new book's.
func TestLogWithoutItsBook(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "book.db")
	if err := os.WriteFile(path+"-wal", []byte("the last things written"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(t.Context(), path); err == nil || !strings.Contains(err.Error(), "is missing but its log") {
		t.Errorf("opened: %v", err)
	}
	if got, _ := os.ReadFile(path + "-wal"); string(got) != "the last things written" {
		t.Error("the log was changed")
	}
}

// A page damaged while the book is open is reported by what meets it.
func TestDamageMetLater(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	path := b.path
	b.Close()
	db := open(path, "rw") // past the glance that Open would take
	defer db.Close()
	b = &Book{path: path, db: db}
	content, _ := os.ReadFile(path)
	var root int
	if err := db.QueryRow("SELECT rootpage FROM sqlite_schema WHERE name = 'batch_weight'").Scan(&root); err != nil {
		t.Fatal(err)
	}
	db.Close()
	copy(content[(root-1)*4096:], bytes.Repeat([]byte{0xff}, 4096))
	os.WriteFile(path, content, 0o600)
	b.db = open(path, "rw")
	defer b.db.Close()
	if _, err := Get[Batch](t.Context(), b, 1); !errors.Is(err, ErrDamaged) {
		t.Errorf("reading: %v", err)
	}
	if _, err := Add(t.Context(), b, smallBatch("x")); !errors.Is(err, ErrDamaged) {
		t.Errorf("writing: %v", err)
	}
}

// A schema in which a column's name is garbled is damage, and said to be.
func TestDamagedSchema(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	if _, err := b.db.Exec("ALTER TABLE client RENAME COLUMN note TO nqte"); err != nil {
		t.Fatal(err)
	}
	if _, err := All[Client](t.Context(), b); !errors.Is(err, ErrDamaged) {
		t.Errorf("reading: %v", err)
	}
}

// Another program that keeps the book busy is named as the cause.
func TestBusy(t *testing.T) {
	t.Parallel()
	b := newBook(t)
	other := open(b.path, "rw")
	defer other.Close()
	if _, err := other.Exec("PRAGMA busy_timeout = 0"); err != nil {
		t.Fatal(err)
	}
	tx, err := other.Begin()
	if err != nil {
		t.Fatal(err)
	}
	defer tx.Rollback()
	b.db.SetMaxOpenConns(1)
	if _, err := b.db.Exec("PRAGMA busy_timeout = 20"); err != nil {
		t.Fatal(err)
	}
	if _, err := Add(t.Context(), b, Client{Name: "Dancer demo"}); !errors.Is(err, ErrBusy) {
		t.Errorf("%v, want ErrBusy", err)
	}
}

// A book too big to look over in time is opened all the same; Check reads it.
func TestGlanceHasALimit(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	for _, limit := range []time.Duration{1, time.Millisecond, glanceTime} {
		if v, err := glance(t.Context(), b.path, "ro", limit); v != len(migrations) || err != nil {
			t.Errorf("within %v: %d %v", limit, v, err)
		}
	}
	stopped, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := glance(stopped, b.path, "ro", glanceTime); !errors.Is(err, context.Canceled) {
		t.Errorf("once cancelled: %v", err)
	}
}

// What is written together is kept together or not at all, also where a write
// that failed is passed over.
func TestTogether(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	ctx := t.Context()
	before := exportJSON(t, b, ExportOptions{Clients: true})
	stop := errors.New("stop")
	err := b.Together(ctx, func(b *Book) error {
		blend, err := Add(ctx, b, Blend{Name: "half"})
		if err != nil {
			return err
		}
		if kept, err := Get[Blend](ctx, b, blend); err != nil || kept.Name != "half" {
			t.Errorf("not seen from inside: %v %v", kept, err)
		}
		return stop
	})
	if !errors.Is(err, stop) {
		t.Errorf("%v", err)
	}
	err = b.Together(ctx, func(b *Book) error {
		if _, err := Add(ctx, b, Blend{Name: "half"}); err != nil {
			return err
		}
		_, _ = Add(ctx, b, Batch{PlannedG: -1})
		return nil
	})
	if field, ok := errors.AsType[*FieldError](err); !ok || field.Field != "planned_g" {
		t.Errorf("a failed write passed over: %v", err)
	}
	if after := exportJSON(t, b, ExportOptions{Clients: true}); after != before {
		t.Error("something was written")
	}
	var blend, batch int64
	err = b.Together(ctx, func(b *Book) (err error) {
		if blend, err = Add(ctx, b, Blend{Name: "whole"}); err != nil {
			return err
		}
		batch, err = Add(ctx, b, Batch{BlendID: blend, PlannedG: 1, Weights: []Weight{{Role: "base", Name: "demo oil", PlannedG: 1}}})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if kept, err := Get[Batch](ctx, b, batch); err != nil || kept.BlendID != blend {
		t.Errorf("%+v %v", kept, err)
	}
}
