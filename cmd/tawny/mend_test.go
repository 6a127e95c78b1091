package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Without a reading a pair is shown and drawn; with answers or a reading the
// additions are.
func TestCorrectCommand(t *testing.T) {
	made := []string{"mend", "--demo", "--weighed", "warm gold=7", "--weighed", "yellow oxide=0.1", "--made", "200"}
	dir := t.TempDir()
	out := mustRun(t, append(made, "--out", dir)...)
	if !strings.Contains(out, "--nearer") {
		t.Errorf("no pair offered: %s", out)
	}
	if _, err := os.Stat(filepath.Join(dir, "pair.png")); err != nil {
		t.Error(err)
	}
	for _, more := range [][]string{{"--nearer", "r,l,s"}, {"--reading", "lab:68,10,15"}, {"--reading", "lab:80,5,20/di", "--seen", "drawdown:5"}} {
		var r struct {
			Options []struct {
				Additions []struct {
					Powder, Base string
					Grams        float64
				}
				AfterGrams, GrowPercent, LoadPercent, DeltaE00 float64
				Lab                                            []float64
				Trial                                          *struct {
					Grams     float64
					Additions []struct{ Grams float64 }
				}
			}
			Pair   any
			ByEye  bool
			Advice string
		}
		if err := json.Unmarshal([]byte(mustRun(t, append(append(made, more...), "--json")...)), &r); err != nil {
			t.Fatal(err)
		}
		if len(r.Options) == 0 || len(r.Options) > 3 {
			t.Fatalf("%v: %d options; %s", more, len(r.Options), r.Advice)
		}
		o := r.Options[0]
		if o.GrowPercent > 15 || o.LoadPercent > 100*7.1/200+1.001 || o.Trial == nil || len(o.Trial.Additions) != len(o.Additions) || o.Trial.Additions[0].Grams < 0.05-1e-9 {
			t.Errorf("%v: %+v", more, o)
		}
		sum, powders := 200.0, 7.1
		for _, a := range o.Additions {
			if a.Grams <= 0 || (a.Powder == "") == (a.Base == "") {
				t.Errorf("%v: %+v", more, a)
			}
			sum += a.Grams
			if a.Powder != "" {
				powders += a.Grams
			}
		}
		if math.Abs(sum-o.AfterGrams) > 1e-6 || math.Abs(sum/200-1-o.GrowPercent/100) > 1e-6 {
			t.Errorf("%v: additions come to %.6f g, the batch to %.6f g, %.4f %% more", more, sum, o.AfterGrams, o.GrowPercent)
		}
		if math.Abs(100*powders/sum-o.LoadPercent) > 1e-3 || len(o.Lab) != 3 {
			t.Errorf("%v: load %.4f %%, want %.4f; L*a*b* %v", more, o.LoadPercent, 100*powders/sum, o.Lab)
		}
		if r.ByEye != (more[0] == "--nearer") {
			t.Errorf("%v: by eye %v", more, r.ByEye)
		}
	}
	code, _, errs := tawny(t, append(made, "--reading", "lab:66,10,17.5", "--apply", "2")...)
	for _, g := range []string{"di", "de", "45", "photo"} {
		if code != exitInput || !strings.Contains(errs, g+" ") {
			t.Errorf("thickly worn and not said how it was read: exit %d, %s", code, errs)
		}
	}
	for _, bad := range [][]string{
		{"--pick", "99"}, {"--reading", "lab:1"}, {"--seen", "sky"}, {"--seen", "drawdown:x"},
		{"--reading", "lab:66,10,17", "--pick", "3"}, {"--looks", "too red", "--pick", "3"}, {"--looks", "too mauve"}, {"--evaporated", "199"}, {"--weighed", "nosuch=1"}, {"--weighed", "bronze=x"},
	} {
		if code, _, errs := tawny(t, append(made, bad...)...); code != exitInput {
			t.Errorf("%v: exit %d, %s", bad, code, errs)
		}
	}
}
