package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tawny/cmd/tawny/job"
	"tawny/colour"
)

// Without a reading a pair is shown and drawn; with answers or a reading the
// additions are.
func TestMendCommand(t *testing.T) {
	made := []string{"mend", "--demo", "--weighed", "warm gold=7", "--weighed", "yellow oxide=0.1", "--made", "200"}
	dir := t.TempDir()
	out := mustRun(t, append(made, "--out", dir)...)
	if !strings.Contains(out, "--nearer") {
		t.Errorf("no pair offered: %s", out)
	}
	if _, err := os.Stat(filepath.Join(dir, "pair.png")); err != nil {
		t.Error(err)
	}
	for _, more := range [][]string{{"--nearer", "r,s,l"}, {"--reading", "lab:68,10,15"}, {"--reading", "lab:84,4,15/di", "--seen", "drawdown:5"}} {
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
	// A gleam and a grain are asked for as everywhere; of more powder there is more.
	fix := []string{"mend", "--skin", "brown", "--target", "skin:1,3,4", "--weighed", "bright gold=6", "--weighed", "red oxide=1.2", "--made", "200", "--looks", "too pink"}
	plain, bright := fromJSON[job.MendResult](t, mustRun(t, append(fix, "--json")...)), fromJSON[job.MendResult](t, mustRun(t, append(fix, "--gleam", "bright", "--grain", "pearl", "--json")...))
	if g := bright.Shimmer; g.GleamWord != "clear" || g.Wanted != "6 to 20" || len(bright.Options) == 0 || bright.Options[0].GleamWord != "bright" || bright.Options[0].Grain != "pearl" || plain.Shimmer.Wanted == g.Wanted {
		t.Errorf("%+v, %+v, %+v", bright.Shimmer, bright.Options, plain.Shimmer)
	}
	if text := mustRun(t, append(fix, "--gleam", "bright")...); !strings.Contains(text, "planned 5.9; wanted now: 6 to 20") {
		t.Error(text)
	}
	if len(plain.Options) > 0 || !strings.Contains(plain.Advice, "g of") || !strings.Contains(plain.Advice, "would leave ΔE00") {
		t.Errorf("%d options, %s", len(plain.Options), plain.Advice)
	}
	photo := []string{"../../testdata/photo/smear-demo.jpg", "--strip", "../../testdata/photo/strip-demo.csv@60,40,680,100"}
	said := fromJSON[struct{ Reading string }](t, mustRun(t, append([]string{"photo"}, append(photo, "--area", "500,280,160,160", "--json")...)...))
	read := fromJSON[job.MendResult](t, mustRun(t, append(append(made, "--photo"), append(photo, "--smear", "500,280,160,160", "--json")...)...)).Read
	if want, err := colour.ParseReading(said.Reading); err != nil || colour.DeltaE00(*read, want.Lab) > 0.02 {
		t.Errorf("photographed %v, %s by photo; %v", read, said.Reading, err)
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

// A batch of the book is mended around its own weights, lots and stock; what is
// chosen is in the book, and the next batch is the mended one.
func TestMendBooked(t *testing.T) {
	file, book := bookAt(t)
	book("save", "--skin", "tan", "--part", "pale gold=5", "--part", "bronze=2", "--apply", "2", "--grams", "200")
	book("weigh", "1", "--as-planned")
	// The pale gold of this lot colours as 3.9 % would.
	weak := fromJSON[struct{ Blend struct{ Lab []float64 } }](t, mustRun(t, "card", "--skin", "tan", "--part", "pale gold=3.9", "--part", "bronze=2", "--apply", "2", "--out", t.TempDir(), "--json")).Blend.Lab
	ask := []string{"mend", "--batch", "1", "--book", file, "--json", "--reading", fmt.Sprintf("lab:%f,%f,%f/di", weak[0], weak[1], weak[2])}
	left := func(lot string) float64 {
		t.Helper()
		for _, l := range fromJSON[job.BookStock](t, book("stock", "--json")).Lots {
			if l.Lot == lot {
				return l.LeftG
			}
		}
		return math.NaN()
	}

	first := fromJSON[job.MendResult](t, mustRun(t, ask...))
	if len(first.Options) == 0 || first.Options[0].Additions[0].Pigment.Name != "pale gold" || first.Options[0].LoadPercent > 8 || first.Options[0].Growth > 15 {
		t.Fatalf("%+v", first.Options)
	}
	// Another gleam can be asked for than was planned.
	if g, was := fromJSON[job.MendResult](t, mustRun(t, append(ask, "--gleam", "50..60")...)).Shimmer, first.Shimmer; g.Wanted != "50 to 60" || g.Planned != was.Planned || math.Abs(g.Gleam-was.Gleam) > 1e-9 || was.Gleam >= was.Planned {
		t.Errorf("%+v, %+v", g, was)
	}
	// Never more than there is.
	book("count", "G-0117", "0.6")
	book("count", "G-0245", "0.4")
	for _, o := range fromJSON[job.MendResult](t, mustRun(t, ask...)).Options {
		for _, a := range o.Additions {
			if a.Name() == "pale gold" && a.Grams > 0.6 {
				t.Errorf("%g g of pale gold, of which 0.6 g is left", a.Grams)
			}
		}
	}
	book("count", "G-0117", "30")
	// Nor of a powder she has none of.
	for _, looks := range []string{"too dark", "too light", "too strong", "too pink"} {
		for _, o := range fromJSON[job.MendResult](t, mustRun(t, "mend", "--batch", "1", "--book", file, "--json", "--new", "1", "--looks", looks)).Options {
			for _, a := range o.Additions {
				if a.New || a.Base == "" && a.Name() != "pale gold" && a.Name() != "bronze" {
					t.Errorf("%s: %+v, of which the book has none", looks, a)
				}
			}
		}
	}

	for _, bad := range [][]string{{"--choose", "3"}, {"--skin", "tan", "--target", "skin:1,2,3"}, {"--made", "200"}} {
		if code, _, errs := tawny(t, append(ask, bad...)...); code != exitInput {
			t.Errorf("%v: exit %d, %s", bad, code, errs)
		}
	}
	if code, _, errs := tawny(t, "mend", "--skin", "tan", "--target", "skin:1,3,4", "--weighed", "bronze=1", "--looks", "too dark"); code != exitInput || !strings.Contains(errs, "--made") {
		t.Errorf("no weight of the batch: exit %d, %s", code, errs)
	}
	if code, _, _ := tawny(t, "mend", "--skin", "tan", "--target", "skin:1,3,4", "--weighed", "bronze=1", "--made", "100", "--looks", "too dark", "--choose", "1"); code != exitInput {
		t.Errorf("chosen without a batch: exit %d", code)
	}
	if n := strings.Count(book("list", "corrections"), "planned"); n != 0 {
		t.Fatalf("%d corrections without one chosen", n)
	}
	chosen := fromJSON[job.MendResult](t, mustRun(t, append(ask, "--choose", "1")...)).Chosen
	if chosen == nil || chosen.CorrectionID != 1 || chosen.ReadingID == 0 || len(chosen.Lessons) == 0 || chosen.Lessons[0].Lot != "G-0117" || !(chosen.Lessons[0].Strength < 0.95 && chosen.Lessons[0].Strength > 0.7) {
		t.Fatalf("%+v", chosen)
	}
	// One is weighed before another is written, unless that is meant.
	if code, _, errs := tawny(t, append(ask, "--choose", "1")...); code != exitInput || !strings.Contains(errs, "--yes writes a further mending of batch 1, and correction 1 is not weighed yet (pale gold)") || strings.Count(book("list", "corrections"), "planned") != 1 {
		t.Errorf("chosen twice: exit %d, %s", code, errs)
	}
	was := left("G-0117")
	book("weigh", "--correction", "1", "--as-planned")
	added := first.Options[0].Additions[0].Grams
	if got := left("G-0117"); math.Abs(was-added-got) > 1e-6 {
		t.Errorf("%g g left of %g, %g added", got, was, added)
	}

	again := fromJSON[job.BookMadeAgain](t, book("again", "1", "--json"))
	want := 100 * (10 + added) / first.Options[0].AfterGrams
	if len(again.Mended) != 1 || again.Powders[0].Name != "pale gold" || math.Abs(again.Powders[0].Percent-want) > 0.01 || !strings.Contains(again.Choice, "mended") {
		t.Errorf("again %+v of %v, want %.3f %% of pale gold; %s", again.Powders, again.Mended, want, again.Choice)
	}
	// The lot is known to be weak now, so the mended recipe looks as was wanted.
	if again.OffOld > 1 || again.OffOld >= first.Now.DeltaE00 {
		t.Errorf("made again ΔE00 %.2f off the shade wanted; the batch was %.2f off", again.OffOld, first.Now.DeltaE00)
	}
}

// Where nothing is offered a choice is told why, powders that count as not at hand are
// said, and what is written from words is said to be from no reading; base is weighed by
// the word that the mending prints.
func TestMendBookedWords(t *testing.T) {
	t.Parallel()
	file, book := bookAt(t)
	book("save", "--skin", "tan", "--target", "skin:1,3,5", "--load", "4", "--grams", "150")
	book("save", "--skin", "tan", "--target", "skin:1,4,5", "--load", "4", "--grams", "150")
	lacking := []string{"mend", "--batch", "2", "--looks", "too light", "--book", file}
	if out := mustRun(t, lacking...); !strings.Contains(out, "count as not at hand") {
		t.Errorf("nothing is said of what is left out:\n%s", out)
	}
	// Nor does it say that nothing helps where what is not at hand would.
	if r := fromJSON[job.MendResult](t, mustRun(t, append(lacking, "--json")...)); len(r.Options) > 0 || strings.Contains(r.Advice, "Nothing helps") || !strings.Contains(r.Advice, "black oxide is not at hand") {
		t.Errorf("%d ways; %s", len(r.Options), r.Advice)
	}
	// And before what takes much.
	book("save", "--skin", "deep", "--target", "soft rose", "--load", "3", "--grams", "420")
	if r := fromJSON[job.MendResult](t, mustRun(t, "mend", "--batch", "3", "--looks", "too pink", "--json", "--book", file)); !strings.HasPrefix(r.Advice, "Nothing small helps. ") || !strings.Contains(r.Advice, "yellow oxide is not at hand: write its lot into the book and ask again. Cheapest: let it grow") {
		t.Errorf("%s", r.Advice)
	}
	code, _, errs := tawny(t, append(lacking, "--choose", "1")...)
	if code != exitInput || !strings.Contains(errs, "0 ways") || !strings.Contains(errs, "wear it as it is") {
		t.Errorf("exit %d: %s", code, errs)
	}
	out := mustRun(t, "mend", "--batch", "1", "--looks", "too light", "--choose", "1", "--book", file)
	if !strings.Contains(out, "Expected:") || strings.Contains(out, "reading taught") {
		t.Errorf("%s", out)
	}
	if list := book("list", "batches"); !strings.Contains(list, "mended with 0.42 g more") {
		t.Errorf("%s", list)
	}
	book("mend-record", "1", "--add", "pale gold=0.3")
	if code, _, errs := tawny(t, "book", "weigh", "--correction", "2", "base=12", "--book", file); code != exitInput || !strings.Contains(errs, "not in it") {
		t.Errorf("base where there is none: exit %d, %s", code, errs)
	}
	if out := mustRun(t, "mend", "--batch", "1", "--looks", "much too strong", "--grow", "100", "--choose", "1", "--yes", "--book", file); !strings.Contains(out, "g  base") || !strings.Contains(out, "--no-powder --base 'Everyday lotion' --grams") {
		t.Fatalf("%s", out)
	}
	if out := book("weigh", "--correction", "3", "base=12", "--yes"); !strings.Contains(out, "12.00 g weighed, 140") {
		t.Errorf("%s", out)
	}
	// What is no flake is rubbed down, as on its own sheet, in what is said of it and on
	// the batch's sheet until it is weighed.
	book("mend-record", "1", "--add", "yellow oxide=0.3")
	const rubbed = ". Mask on. On a glass plate"
	if out := flat(mustRun(t, "batch", "--batch", "1", "--book", file)); !strings.Contains(out, "Rub down yellow oxide, black oxide"+rubbed) || !strings.Contains(out, "Stir in pale gold. Mask on.") {
		t.Errorf("%s", out)
	}
	book("weigh", "--correction", "4", "--as-planned", "--yes")
	if out := flat(mustRun(t, "batch", "--batch", "1", "--book", file)); strings.Contains(out, "Rub down yellow oxide") {
		t.Errorf("%s", out)
	}
	out = flat(mustRun(t, "mend", "--skin", "deep", "--target", "soft rose", "--weighed", "rose gleam=5", "--made", "420", "--looks", "too pink", "--new", "1", "--only", "yellow oxide,rose gleam"))
	if !strings.Contains(out, "g yellow oxide (new to this batch) Rub down yellow oxide"+rubbed) || strings.Contains(out, "as the first powders") {
		t.Errorf("%s", out)
	}
}

// A batch of one's own drawer that was mended with a powder from elsewhere has it in its
// labels, card, sheet and checks, is mended and made again with it, and what is made
// again has it too.
func TestMendedFromElsewhere(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	own, other := filepath.Join(dir, "own.csv"), filepath.Join(dir, "other.csv")
	for name, drawers := range map[string][]string{"copper wire": {own, other}, "wine veil": {own, other}, "raw yellow": {other}} {
		like := map[string]string{"copper wire": "copper", "wine veil": "burgundy", "raw yellow": "yellow oxide"}[name]
		for _, drawer := range drawers {
			mustRun(t, "drawer", "add", "--name", name, "--like", like, "--drawer", drawer)
		}
	}
	for _, from := range []struct {
		powder string
		mend   []string
	}{
		{"yellow oxide", []string{"--also-built-in"}},
		{"raw yellow", []string{"--drawer", other}},
	} {
		file, book := bookAt(t)
		book("add", "lot", "YO-1", "--powder", from.powder, "--grams", "30", "--drawer", other)
		book("save", "--skin", "deep", "--part", "copper wire=2", "--part", "wine veil=1", "--grams", "370", "--drawer", own)
		book("weigh", "1", "--as-planned")
		mustRun(t, append([]string{"mend", "--batch", "1", "--looks", "too pink", "--new", "1", "--only", from.powder, "--choose", "1", "--book", file}, from.mend...)...)
		for _, waiting := range []bool{true, false} {
			said := []string{book("weigh", "1", "--reading", "pH=5.2", "--yes"), mustRun(t, "labels", "--batch", "1", "--book", file), mustRun(t, "batch", "--batch", "1", "--book", file)}
			for _, kind := range []string{"maker", "client"} {
				said = append(said, mustRun(t, "card", "--batch", "1", "--for", kind, "--json", "--out", dir, "--book", file))
			}
			for i, out := range said {
				if strings.Contains(out, "could not be checked") || strings.Contains(out, "left out") || strings.Contains(out, "<nil>") || i == 1 && !strings.Contains(out, "CI 77492") || i == 3 && !strings.Contains(out, from.powder) {
					t.Errorf("%s, %d: %s", from.powder, i, out)
				}
			}
			if waiting {
				book("weigh", "--correction", "1", "--as-planned", "--yes")
			}
		}
		mustRun(t, "mend", "--batch", "1", "--looks", "too light", "--book", file)
		for _, batch := range []string{"1", "2"} { // the second is the first made again
			again := fromJSON[job.BookMadeAgain](t, book("again", batch, "--json"))
			if n := len(again.Powders); n != 3 || again.Powders[2].Name != from.powder || again.Powders[2].Lot != "YO-1" || strings.Contains(again.Choice, "Nothing is left") {
				t.Errorf("batch %s again: %+v %s", batch, again.Powders, again.Choice)
			}
		}
		book("mend-record", "2", "--add", "black oxide=0.3")
		if out := mustRun(t, "labels", "--batch", "2", "--book", file); !strings.Contains(out, "CI 77492") || !strings.Contains(out, "CI 77499") {
			t.Errorf("made again: %s", out)
		}
	}
}

// A way that leaves the gleam outside what it was to be says so; no other does.
func TestMendGleamOff(t *testing.T) {
	t.Parallel()
	said, kept := 0, 0
	for _, looks := range []string{"too pink", "too yellow", "too dark", "too flat", "too strong, a little dark"} {
		r := fromJSON[struct {
			Shimmer *job.MendShimmer
			Options []struct {
				Gleam    float64
				GleamOff string
			}
		}](t, mustRun(t, "mend", "--skin", "brown", "--target", "skin:2,3,0", "--weighed", "pale gold=4", "--weighed", "copper=2", "--made", "200", "--new", "1", "--looks", looks, "--json"))
		var lo, hi float64
		if n, _ := fmt.Sscanf(r.Shimmer.Wanted, "%f to %f", &lo, &hi); n < 2 {
			fmt.Sscanf(r.Shimmer.Wanted, "about %f", &lo)
			hi = lo
		}
		for _, o := range r.Options {
			off := o.Gleam < lo-0.06 || o.Gleam > hi+0.06
			if off && !strings.Contains(o.GleamOff, fmt.Sprintf("%.1f, not %s", o.Gleam, r.Shimmer.Wanted)) || o.GleamOff != "" && o.Gleam > lo-0.04 && o.Gleam < hi+0.04 {
				t.Errorf("%s: gleam %.2f, to be %s: %q", looks, o.Gleam, r.Shimmer.Wanted, o.GleamOff)
			}
			if off {
				said++
			} else {
				kept++
			}
		}
	}
	if said == 0 || kept == 0 {
		t.Errorf("not put to the test: %d outside, %d kept", said, kept)
	}
}

// Of water, lost or to be thinned with, nothing is said where the base has none.
func TestNoWaterIntoAnOil(t *testing.T) {
	t.Parallel()
	made := func(base string) []string {
		return []string{"mend", "--skin", "light", "--target", "skin:2,3,0", "--base", base, "--weighed", "champagne=4", "--weighed", "copper=2", "--made", "200", "--looks", "too dull, a little light"}
	}
	for _, base := range []string{"silk-body-oil", "quick-dry-alcohol-spray"} {
		if code, _, errs := tawny(t, append(made(base), "--evaporated", "4")...); code != exitInput || !strings.Contains(errs, "--evaporated is of water, and none dries off") {
			t.Errorf("%s: exit %d, %s", base, code, errs)
		}
		if said := mustRun(t, made(base)...); strings.Contains(said, "water") || strings.Contains(said, "preservative") {
			t.Errorf("%s: %s", base, said)
		}
	}
	if said := flat(mustRun(t, append(made("everyday-lotion"), "--evaporated", "4")...)); !strings.Contains(said, "Base brings its own preservative with it") {
		t.Error(said)
	}
	_, run := bookAt(t)
	run("save", "--skin", "tan", "--part", "pale gold=2", "--grams", "100", "--base", "silk-body-oil")
	if said := run("weigh", "1", "pale gold=2", "--made", "1.9", "--yes"); !strings.Contains(said, "does not count as in the batch.") || strings.Contains(said, "water") {
		t.Error(said)
	}
}
