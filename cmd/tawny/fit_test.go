package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"tawny/cmd/tawny/job"
)

const (
	fitDemo   = "../../testdata/fit/pale-gold-demo.csv"
	lotDemo   = "../../testdata/fit/pale-gold-lot-demo.csv"
	skinDemo  = "../../testdata/fit/skin-demo.csv"
	photoDemo = "../../testdata/photo/smear-demo.jpg"
	stripDemo = "../../testdata/photo/strip-demo.csv@60,40,680,100"
)

// A powder's way from drawdowns to a blend: fitted, added, matched with, its
// next lot compared.
func TestFromDrawdownToBlend(t *testing.T) {
	palette := filepath.Join(t.TempDir(), "drawer.csv")
	for _, c := range []struct {
		args []string
		says []string
	}{
		{[]string{"fit", fitDemo}, []string{"holds (demo", "by the fit", "readings together say", "95 in 100", "open by ΔE00 0."}},
		{[]string{"fit", fitDemo, "--add", "--drawer", palette}, []string{"Made the drawer"}},
		{[]string{"drawer", "add", "--like", "red oxide", "--name", "red", "--drawer", palette}, []string{"guessed", "Added to"}},
		{[]string{"drawer", "--drawer", palette}, []string{"pale gold", "demo", "guessed", "2 powders"}},
		{[]string{"drawer", "show", "pale gold", "--drawer", palette, "--skin", "tan"}, []string{"tan skin", "at 15°", "from 15° to 110°"}},
		{[]string{"match", "--skin", skinDemo + "#forearm", "--target", "skin:2,0,2", "--drawer", palette}, []string{"95 in 100 wearings", "turned from the lamp's mirror"}},
		{[]string{"lot", lotDemo, "--drawer", palette, "--skin", "tan", "--part", "pale gold=2"}, []string{"against lot KR-07, whose data are demo", "stronger", "Same", "keep the recipe"}},
		{[]string{"lot", lotDemo, "--drawer", palette, "--skin", "tan", "--part", "pale gold=4", "--apply", "full"}, []string{"stronger", "Same", "Changed", "only pale gold is changed"}},
		{[]string{"lot", lotDemo, "--drawer", palette, "--add"}, []string{"Replaced pale gold"}},
		{[]string{"read", skinDemo}, []string{"forearm: mean of 4", "cheek"}},
		{[]string{"photo", photoDemo}, []string{"800 × 560", "daylight"}},
		{[]string{"photo", photoDemo, "--strip", stripDemo, "--area", "120,260,200,200"}, []string{"use with care", "--skin lab:", "--repeat"}},
		{[]string{"drawer", "add", "--like", "gold", "--photo", photoDemo, "--strip", stripDemo, "--area", "500,280,160,160", "--name", "smear"}, []string{"a coat of rutile:7", "nothing was written"}},
		{[]string{"flake", "--coat", "rutile:75", "--on", "tan"}, []string{"tan skin", "at 110°"}},
	} {
		out := mustRun(t, c.args...)
		for _, s := range c.says {
			if !strings.Contains(out, s) {
				t.Errorf("tawny %s does not say %q:\n%s", strings.Join(c.args, " "), s, out)
			}
		}
	}
}

// A fitted powder keeps how well it is known: 95 in 100, which is 1.96 of the
// standard errors the fit gives.
func TestFitKeepsHowWellItIsKnown(t *testing.T) {
	drawer := filepath.Join(t.TempDir(), "drawer.csv")
	fit := fromJSON[job.FitResult](t, mustRun(t, "fit", fitDemo, "--add", "--drawer", drawer, "--json"))
	said := regexp.MustCompile(`K ± ([0-9.]+) %, S ± ([0-9.]+) %, 95 in 100`).FindStringSubmatch(flat(mustRun(t, "drawer", "show", "pale gold", "--drawer", drawer)))
	if said == nil {
		t.Fatal("the drawer does not say how well the powder is known")
	}
	for i, one := range []float64{fit.KError, fit.SError} {
		if p, err := strconv.ParseFloat(said[i+1], 64); err != nil || math.Abs(p/(100*one)-1.96) > 0.05*1.96 {
			t.Errorf("± %s %% of a standard error of %.3g %%", said[i+1], 100*one)
		}
	}
}

// One film over two grounds leaves nothing over that could tell its mass.
func TestFitOfOneFilmSaysNothingOfItsMass(t *testing.T) {
	out := mustRun(t, "fit", "../../testdata/fit/red-oxide-demo.csv")
	if strings.Contains(out, "readings together say") || !strings.Contains(out, "nothing to test it by") {
		t.Error(out)
	}
}

// What cannot be done is said in one line, or one for each of two faults, with exit
// code 2 and nothing on the other stream.
func TestFitCommandsRefuse(t *testing.T) {
	dir := t.TempDir()
	for _, args := range [][]string{
		{"fit"}, {"fit", "none.csv"}, {"fit", fitDemo, "more"}, {"fit", fitDemo, "--add"}, {"fit", fitDemo, "--add", "--drawer", filepath.Join(dir, "no", "drawer.csv")},
		{"fit", lotDemo}, {"lot"}, {"lot", lotDemo, "--part", "pale gold=2"}, {"lot", lotDemo, "--add"}, {"lot", lotDemo, "--part", "x"},
		{"read"}, {"read", "none.csv"}, {"read", photoDemo}, {"photo"}, {"photo", fitDemo}, {"photo", photoDemo, "--area", "1,2,3,4"},
		{"photo", photoDemo, "--patch", "grey-card@10,10,5,5", "--area", "1,2,3,4"}, {"drawer", "add"}, {"drawer", "add", "--like", "gold"},
		{"drawer", "add", "--like", "gold", "--name", "x", "--size", "fine"}, {"drawer", "add", "x"}, {"drawer", "ad"},
		{"match", "--skin", skinDemo, "--target", "skin:1,1,1"}, {"match", "--skin", "tan", "--target", skinDemo + "#nose"},
		{"match", "--demo", "--apply-spread", "200"}, {"match", "--demo", "--repeat", "-1"}, {"flake", "--coat", "rutile:75", "--film-mg", "99"}, {"flake", "--coat", "rutile:75", "--on", "x"},
	} {
		code, out, errs := tawny(t, args...)
		faults := 1
		if strings.Join(args, " ") == "drawer add" { // no name, nor what it is
			faults = 2
		}
		if code != 2 || out != "" || strings.Count(errs, "\n") != faults {
			t.Errorf("tawny %s: exit %d, printed %q, said %q", strings.Join(args, " "), code, out, errs)
		}
	}
	if list, _ := os.ReadDir(dir); len(list) > 0 {
		t.Errorf("refused commands left %d files", len(list))
	}
}

func TestFitJSONKeys(t *testing.T) {
	for _, c := range []struct {
		args []string
		keys []string
	}{
		{[]string{"fit", fitDemo}, []string{"powder", "lot", "date", "geometry", "source", "method", "verdict", "why", "residualDeltaE00", "readings", "films", "kCm2PerMg", "kLow95", "kHigh95", "doubtDeltaE00", "sCm2PerMg", "wavelengths"}},
		{[]string{"lot", lotDemo, "--skin", "tan", "--part", "pale gold=2"}, []string{"strength", "strengthError", "shade", "blend"}},
		{[]string{"read", skinDemo}, []string{"samples", "means"}},
		{[]string{"photo", photoDemo, "--strip", stripDemo, "--area", "120,260,200,200"}, []string{"reading", "areas", "advice"}},
		{[]string{"drawer", "add", "--like", "gold", "--name", "x"}, []string{"coat", "gradeUm", "source", "row"}},
		{[]string{"flake", "--coat", "rutile:75"}, []string{"film"}},
	} {
		var got map[string]any
		if err := json.Unmarshal([]byte(mustRun(t, append(c.args, "--json")...)), &got); err != nil {
			t.Errorf("%v: %v", c.args, err)
		}
		for _, k := range c.keys {
			if _, ok := got[k]; !ok {
				t.Errorf("tawny %s: no %q", strings.Join(c.args, " "), k)
			}
		}
	}
	var m struct {
		Blends []struct {
			Angles      []struct{ Aspecular float64 }
			Travel      struct{ DL float64 }
			Uncertainty struct {
				DeltaE00At95 float64
				SigmaLab     []float64
				Causes       []struct {
					Name, Taken  string
					DeltaE00At95 float64
				}
			}
		}
	}
	if err := json.Unmarshal([]byte(mustRun(t, "match", "--demo", "--json")), &m); err != nil {
		t.Fatal(err)
	}
	for _, b := range m.Blends {
		u := b.Uncertainty
		if len(b.Angles) != 4 || b.Angles[3].Aspecular != 110 || u.DeltaE00At95 <= 0 || len(u.SigmaLab) != 3 || len(u.Causes) < 3 {
			t.Errorf("%+v", b)
		}
		for _, c := range u.Causes {
			if c.DeltaE00At95 > u.DeltaE00At95 || c.Taken == "" {
				t.Errorf("cause %+v of %g", c, u.DeltaE00At95)
			}
		}
	}
}
