package main

import (
	"path/filepath"
	"testing"

	"tawny/cmd/tawny/job"
)

// What planned batches take beyond what is left is to be bought; a lot past its
// day counts for nothing, and a batch once weighed is no longer planned.
func TestReorder(t *testing.T) {
	t.Parallel()
	book := filepath.Join(t.TempDir(), "book.db")
	mustRun(t, "book", "add", "lot", "G-1", "--powder", "pale gold", "--grams", "5", "--book", book)
	mustRun(t, "book", "add", "lot", "G-2", "--powder", "pale gold", "--grams", "50", "--expires", "2001-01-01", "--book", book)
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
	mustRun(t, "book", "weigh", "1", "--as-planned", "--book", book)
	if s := short(); s["batches"] != 1 || !near(s["pale gold"], 1) || s["bronze"] != 0 {
		t.Errorf("once weighed %v", s)
	}
}
