package main

import (
	"path/filepath"
	"strings"
	"testing"

	"tawny/cmd/tawny/job"
)

// What planned batches take beyond what is left is to be bought; a lot past its
// day counts for nothing, and a batch once weighed is no longer planned.
func TestReorder(t *testing.T) {
	t.Parallel()
	book := filepath.Join(t.TempDir(), "book.db")
	mustRun(t, "book", "add", "lot", "G-1", "--powder", "pale gold", "--grams", "5", "--book", book)
	mustRun(t, "book", "add", "lot", "G-2", "--powder", "pale gold", "--grams", "50", "--expires", "2001-01-01", "--yes", "--book", book)
	for _, part := range []string{"bronze=0.5", "copper=0.2"} {
		mustRun(t, "book", "save", "--skin", "tan", "--part", "pale gold=3", "--part", part, "--grams", "100", "--book", book)
	}
	short := func(args ...string) map[string]float64 {
		r := fromJSON[job.Reorder](t, mustRun(t, append([]string{"reorder", "--json", "--book", book}, args...)...))
		out := map[string]float64{"batches": float64(len(r.Batches))}
		for _, l := range r.Powders {
			out[l.Name] = l.ShortG
		}
		if len(r.Base) == 0 {
			t.Error("the bases take nothing")
		}
		return out
	}
	near := func(got, want float64) bool { return got > want-1e-9 && got < want+1e-9 }
	if s := short(); s["batches"] != 2 || !near(s["pale gold"], 1) || !near(s["bronze"], 0.5) || !near(s["copper"], 0.2) {
		t.Errorf("%v", s)
	}
	if s := short("--spare", "10"); !near(s["pale gold"], 11) {
		t.Errorf("with something to spare %v", s)
	}
	lots := func() (list []job.ReorderLot) {
		for _, l := range fromJSON[job.Reorder](t, mustRun(t, "reorder", "--json", "--book", book)).Powders {
			if l.Name == "pale gold" {
				list = l.Lots
			}
		}
		return list
	}
	// Good for a shorter time than the first, so taken from first; then held back.
	mustRun(t, "book", "add", "lot", "G-3", "--powder", "pale gold", "--grams", "4", "--expires", "2999-01-01", "--book", book)
	if l := lots(); len(l) != 3 || l[0].Lot != "G-2" || l[0].NotFor == "" || l[1].Lot != "G-3" || !near(l[1].TakesG, 4) || !near(l[2].TakesG, 2) {
		t.Errorf("taken from %+v", l)
	}
	mustRun(t, "book", "edit", "lot", "G-3", "--held", "smells off", "--book", book)
	if l := lots(); l[1].NotFor != "held back: smells off" || l[1].TakesG != 0 || !near(l[2].TakesG, 5) {
		t.Errorf("with one held back taken from %+v", l)
	}
	if s := short(); !near(s["pale gold"], 1) {
		t.Errorf("with one held back %v", s)
	}
	mustRun(t, "book", "weigh", "1", "--as-planned", "--book", book)
	if s := short(); s["batches"] != 1 || !near(s["pale gold"], 1) || s["bronze"] != 0 {
		t.Errorf("once weighed %v", s)
	}
}

// Where the book has lots of a powder, they are its stock, whatever the drawer says,
// and it is said; a lot held back is none.
func TestInStockIsWhatTheBookHas(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TAWNY_BOOK", filepath.Join(dir, "book.db"))
	drawer := filepath.Join(dir, "drawer.csv")
	for _, name := range []string{"pale gold", "bronze", "copper"} {
		mustRun(t, "drawer", "add", "--like", name, "--size", "10-60", "--name", name, "--grams", "100", "--drawer", drawer)
	}
	percents := func() (of map[string]float64, notes string) {
		m := fromJSON[struct {
			Blends []struct {
				Parts []struct {
					Powder  string
					Percent float64
				}
			}
			Notes []string
		}](t, mustRun(t, "match", "--skin", "tan", "--target", "skin:4,6,10", "--grams", "100", "--in-stock", "--drawer", drawer, "--json"))
		of = map[string]float64{}
		for _, p := range m.Blends[0].Parts {
			of[p.Powder] = p.Percent
		}
		return of, strings.Join(m.Notes, " ")
	}
	free, notes := percents()
	most, name := 0.0, ""
	for powder, percent := range free {
		if percent > most {
			most, name = percent, powder
		}
	}
	if most < 1 || strings.Contains(notes, "lots in the book") {
		t.Fatalf("without a book %v, %s", free, notes)
	}
	mustRun(t, "book", "add", "lot", "G-1", "--powder", name, "--grams", "0.5")
	if of, notes := percents(); of[name] > 0.5+1e-9 || !strings.Contains(notes, "What is in stock of "+name+" is taken from the lots in the book") {
		t.Errorf("with 0.5 g of %s %v, %s", name, of, notes)
	}
	mustRun(t, "book", "edit", "lot", "G-1", "--held", "smells off")
	if of, _ := percents(); of[name] > 0 {
		t.Errorf("with none of %s that may be used %v", name, of)
	}
}
