package job

import (
	"errors"
	"math"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"tawny/blend/book"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// A powder of strength x at p % looks as the drawer's own at x·p %: the film
// knows no other difference.
func TestStrengthActsAsShare(t *testing.T) {
	p, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	g, err := p.Find("pale gold")
	if err != nil {
		t.Fatal(err)
	}
	before := g.Optics
	look := func(g *palette.Pigment, percent float64) *film.Look {
		l, err := film.Predict(film.Worn{
			Ground: film.Ground{Reflectance: colour.Constant(0.3)}, Apply: 1,
			Parts: []film.Part{{Pigment: g, Percent: percent}},
		})
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	for _, x := range []float64{0.5, 0.93, 1, 1.4} {
		a, b := look(g.AtStrength(x), 3), look(g, 3*x)
		if d := colour.DeltaE76(a.Lab, b.Lab); d > 1e-9 {
			t.Errorf("strength %g: %v, the same share: %v", x, a.Lab, b.Lab)
		}
		for i := range a.Angles {
			if d := colour.DeltaE76(a.Angles[i].Lab, b.Angles[i].Lab); d > 1e-9 {
				t.Errorf("strength %g, %g°: ΔE %g", x, a.Angles[i].AspecularDeg, d)
			}
		}
		if math.Abs(a.Covered-b.Covered) > 1e-12 {
			t.Errorf("strength %g covers %g, the same share %g", x, a.Covered, b.Covered)
		}
	}
	if !reflect.DeepEqual(g.Optics, before) {
		t.Error("the drawer's powder was changed")
	}
}

func TestChooseALot(t *testing.T) {
	lot := func(id int64, left float64, expires string) book.LotStock {
		return book.LotStock{LotID: id, LeftG: left, ExpiresOn: expires}
	}
	for _, c := range []struct {
		what string
		list []book.LotStock
		want int64 // 0 for none
	}{
		{"none", nil, 0},
		{"one held back never", []book.LotStock{{LotID: 1, LeftG: 50, Held: "smells"}, lot(2, 3, "")}, 2},
		{"held back and nothing else", []book.LotStock{{LotID: 1, LeftG: 50, Held: "smells"}}, 0},
		{"the first with enough", []book.LotStock{lot(1, 2, ""), lot(2, 9, ""), lot(3, 20, "")}, 2},
		{"just enough", []book.LotStock{lot(1, 5, ""), lot(2, 9, "")}, 1},
		{"else the most", []book.LotStock{lot(1, 2, ""), lot(2, 4, ""), lot(3, 3, "")}, 2},
		{"not one past its day", []book.LotStock{lot(1, 50, "2001-01-01"), lot(2, 3, "2999-01-01")}, 2},
		{"past its day only where there is no other", []book.LotStock{lot(1, 3, "2001-01-01"), lot(2, 50, "2001-01-01")}, 2},
	} {
		got, ok := choose(c.list, 5, "2026-05-31")
		if got.LotID != c.want || ok != (c.want != 0) {
			t.Errorf("%s: lot %d, want %d", c.what, got.LotID, c.want)
		}
	}
}

// Whatever is written, a weight read is one that a balance can show.
func FuzzNamedGrams(f *testing.F) {
	for _, s := range []string{"pale gold=3.01", "bronze = 2 g", "=3", "a=", "a=b=3", "a=NaN", "a=-1", "a=1e300", "x", "", " =1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		name, g, err := amount(s, inGrams)
		if err != nil {
			return
		}
		if name == "" || name != strings.TrimSpace(name) || !(g >= 0 && g <= 1e6) {
			t.Errorf("%q read as %q, %g g", s, name, g)
		}
		if !strings.Contains(s, name) {
			t.Errorf("%q read as %q", s, name)
		}
	})
}

// A name of a lot or a client is never empty, and what is read is what was
// written.
func FuzzNames(f *testing.F) {
	for _, s := range []string{"pale gold=G-0117", "a=b=c", "=x", "x=", "client:Dancer Ada (demo)", "CLIENT: x ", "client:", "client: ", "İ=1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if lots, err := namedLots([]string{s}); err == nil {
			for name, lot := range lots {
				if name == "" || lot == "" || !strings.Contains(s, lot) {
					t.Errorf("%q read as lot %q of %q", s, lot, name)
				}
			}
		}
		if name, ok := clientOf(s); ok && !strings.Contains(s, name) {
			t.Errorf("%q read as client %q", s, name)
		}
	})
}

// A card of a client's skin is noted in the book by whatever job it is made, and
// one of nobody's is not.
func TestFilesOfAClientAreNoted(t *testing.T) {
	ctx := t.Context()
	at := Book{File: filepath.Join(t.TempDir(), "book.db")}
	out := t.TempDir()
	err := at.write(ctx, func(b *book.Book) error {
		who, err := book.Add(ctx, b, book.Client{Name: "Dancer Ada (demo)"})
		if err == nil {
			_, err = book.Add(ctx, b, book.Reading{ClientID: who, How: "typed", Seen: "skin", Lab: colour.Lab{L: 56, A: 11, B: 18}})
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, skin := range []string{"tan", "client:Dancer Ada (demo)"} {
		d := NewDoc(Find("card"))
		if err := errors.Join(d.Put("skin", skin), d.Put("part", "bronze=2")); err != nil {
			t.Fatal(err)
		}
		env := &Env{Files: Disk, Now: time.Now, Book: at, Sends: true, Out: out}
		if _, err := d.Do(ctx, env); err != nil {
			t.Fatal(err)
		}
		if err := env.NoteFiles(ctx); err != nil {
			t.Fatal(err)
		}
	}
	list, err := at.List(ctx, "files")
	// Her card and its back, the last noted first.
	if err != nil || len(list.Records) != 2 || list.Records[1].Title != filepath.Join(out, "card.png") || list.Records[0].Title != filepath.Join(out, "card-2.png") {
		t.Errorf("%+v %v", list, err)
	}
}

// So are a batch's sheet and labels, and a picture called after a client.
func TestFilesOfABatchOrATitleAreNoted(t *testing.T) {
	ctx := t.Context()
	at := Book{File: filepath.Join(t.TempDir(), "book.db")}
	out := t.TempDir()
	err := at.write(ctx, func(b *book.Book) error {
		_, err := book.Add(ctx, b, book.Client{Name: "Dancer Ada (demo)"})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		job   string
		given []string // field, what is said
		notes int
	}{
		{"book save", []string{"skin", "tan", "part", "bronze=2", "client", "Dancer Ada (demo)", "title", "For Ada", "out", out}, 3},
		{"batch", []string{"batch", "1", "out", out}, 4},
		{"labels", []string{"batch", "1", "out", out}, 5},
		{"card", []string{"skin", "tan", "part", "bronze=2", "title", "Ember for ADA", "out", out}, 7},
		{"card", []string{"skin", "tan", "part", "bronze=2", "title", "Ember for a dancer", "out", out}, 7},
	} {
		d := NewDoc(Find(c.job))
		for i := 0; i < len(c.given); i += 2 {
			if err := d.Put(c.given[i], c.given[i+1]); err != nil {
				t.Fatal(err)
			}
		}
		env := &Env{Files: Disk, Now: time.Now, Book: at, Sends: true, Out: out}
		_, err := d.Do(ctx, env)
		if err := errors.Join(err, env.NoteFiles(ctx)); err != nil {
			t.Fatal(err)
		}
		if list, err := at.List(ctx, "files"); err != nil || len(list.Records) != c.notes {
			t.Errorf("after %s %v there are %d files noted, want %d; %v", c.job, c.given, len(list.Records), c.notes, err)
		}
	}
}

// What another program wrote into a record steers no terminal; our own patches of
// colour are shown.
func TestScreenShowsWhatWouldSteer(t *testing.T) {
	var out strings.Builder
	s := &Screen{w: &out, colours: true}
	s.line("%s%s", s.patch("#102030"), "\x1b[31mboo\u202e\nrow")
	if got, want := out.String(), "\x1b[48;2;16;32;48m   \x1b[0m \\u001b[31mboo\\u202e\\nrow\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
