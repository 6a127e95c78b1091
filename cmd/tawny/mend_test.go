package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Without a reading the ladder is shown and drawn; with a pick or a reading the
// additions are.
func TestCorrectCommand(t *testing.T) {
	made := []string{"mend", "--demo", "--weighed", "warm gold=7", "--weighed", "yellow oxide=0.1", "--made", "200"}
	dir := t.TempDir()
	out := mustRun(t, append(made, "--out", dir)...)
	if !strings.Contains(out, "--pick") {
		t.Errorf("no ladder offered: %s", out)
	}
	if _, err := os.Stat(filepath.Join(dir, "ladder.png")); err != nil {
		t.Error(err)
	}
	for _, more := range [][]string{{"--pick", "14"}, {"--reading", "lab:66,10,17.5"}, {"--reading", "lab:80,5,20", "--seen", "drawdown:5"}} {
		var r struct {
			Additions []struct {
				Powder string
				Grams  float64
			}
			AfterGrams, BaseGrams float64
			Ladder                []any
			ByEye                 bool
		}
		if err := json.Unmarshal([]byte(mustRun(t, append(append(made, more...), "--json")...)), &r); err != nil {
			t.Fatal(err)
		}
		sum := 200 + r.BaseGrams
		for _, a := range r.Additions {
			if a.Grams <= 0 {
				t.Errorf("%v: %g g of %s", more, a.Grams, a.Powder)
			}
			sum += a.Grams
		}
		if d := sum - r.AfterGrams; d > 1e-6 || d < -1e-6 {
			t.Errorf("%v: additions come to %.6f g, the batch to %.6f g", more, sum, r.AfterGrams)
		}
		if r.ByEye != (more[0] == "--pick") {
			t.Errorf("%v: by eye %v", more, r.ByEye)
		}
	}
	for _, bad := range [][]string{
		{"--pick", "99"}, {"--reading", "lab:1"}, {"--seen", "sky"}, {"--seen", "drawdown:x"},
		{"--reading", "lab:66,10,17", "--pick", "3"}, {"--evaporated", "199"}, {"--weighed", "nosuch=1"}, {"--weighed", "bronze=x"},
	} {
		if code, _, errs := tawny(t, append(made, bad...)...); code != exitInput {
			t.Errorf("%v: exit %d, %s", bad, code, errs)
		}
	}
}
