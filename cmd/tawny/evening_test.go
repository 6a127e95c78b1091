package main

import (
	"path/filepath"
	"strings"
	"testing"

	"tawny/colour"
)

// What an evening at the bench comes on.

// ownDrawer is a maker's drawer of jars known by their labels, without prices.
func ownDrawer(t *testing.T) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "drawer.csv")
	for _, jar := range [][]string{{"Rose 150", "30-150", "rose"}, {"Sun gold", "10-60", "gold"}} {
		mustRun(t, "drawer", "add", "--name", jar[0], "--inci", "Mica, Titanium Dioxide, Iron Oxides", "--size", jar[1], "--colour", jar[2], "--grams", "40", "--drawer", file)
	}
	return file
}

// Powders without a price have no cost, rather than one of nothing.
func TestUnknownPricesAreNoCost(t *testing.T) {
	t.Parallel()
	drawer := ownDrawer(t)
	for _, args := range [][]string{
		{"match", "--skin", "dark", "--target", "rose", "--twins", "--drawer", drawer},
		{"compare", "--skin", "dark", "--target", "rose", "--drawer", drawer},
		{"drawer", "show", "Rose 150", "--drawer", drawer},
	} {
		out := mustRun(t, args...)
		if strings.Contains(out, "cost 0.00") || strings.Contains(out, "0.00 per g") || strings.Contains(out, "cost         0.00") {
			t.Errorf("%s says %s", args[0], out)
		}
	}
	if out := mustRun(t, "match", "--skin", "tan", "--target", "rose", "--only", "pale gold,bronze"); !strings.Contains(out, "powders of 100 g cost") {
		t.Errorf("with prices: %s", out)
	}
}

// A batch that is not to be sold says so on the screen too, where its sheet, its
// labels or its card go to a file.
func TestAStopIsToldOnTheScreen(t *testing.T) {
	t.Parallel()
	drawer := ownDrawer(t)
	for _, args := range [][]string{
		{"batch", "--part", "Rose 150=0.5"},
		{"labels", "--part", "Rose 150=0.5"},
		{"match", "--skin", "dark", "--target", "rose"},
	} {
		out := mustRun(t, append(args, "--drawer", drawer, "--base", "quick-dry-spray", "--containers", "8", "--ml", "100", "--out", t.TempDir())...)
		if !strings.Contains(out, "To mend first: Rose 150 holds titanium dioxide") {
			t.Errorf("%s says %s", args[0], out)
		}
	}
}

// A batch for containers takes from its lot what is filled, kept and left on the
// tools: a lot that holds only what is filled is not enough.
func TestAgainTakesALotThatLasts(t *testing.T) {
	t.Parallel()
	_, run := bookAt(t)
	run("save", "--skin", "tan", "--part", "pale gold=2", "--part", "bronze=1", "--target", "skin:3,4,6", "--containers", "8", "--ml", "100")
	run("weigh", "1", "--as-planned")
	run("count", "G-0117", "16.5") // 8 x 100 ml want 15.8 g, the batch 16.9 g
	again := fromJSON[savedIDs](t, run("again", "1", "--json"))
	if again.Powders[0].Lot != "G-0245" {
		t.Errorf("pale gold from lot %s", again.Powders[0].Lot)
	}

	if out := run("save", "--skin", "tan", "--part", "pale gold=2", "--lot", "pale gold=G-9"); !strings.Contains(out, "nothing of a lot G-9") {
		t.Errorf("a lot nobody has: %s", out)
	}
}

// Of lots with enough left the first to expire goes into a batch, though the drawer names
// another, and into one made again; it says so.
func TestFirstToExpireGoesFirst(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	drawer, file := filepath.Join(dir, "drawer.csv"), filepath.Join(dir, "book.db")
	mustRun(t, "fit", "../../testdata/fit/pale-gold-demo.csv", "--add", "--drawer", drawer) // lot KR-07
	run := func(args ...string) string {
		return mustRun(t, append(append([]string{"book"}, args...), "--book", file)...)
	}
	run("add", "lot", "KR-07", "--powder", "pale gold", "--grams", "60")
	run("add", "lot", "F-1", "--powder", "pale gold", "--grams", "60", "--expires", "2999-12-31")
	saved := fromJSON[savedIDs](t, run("save", "--skin", "tan", "--part", "pale gold=3", "--drawer", drawer, "--json"))
	again := fromJSON[savedIDs](t, run("again", "1", "--json"))
	for what, v := range map[string]savedIDs{"saved": saved, "made again": again} {
		if said := strings.Join(v.Notes, " "); v.Powders[0].Lot != "F-1" || !strings.Contains(said, "Lot F-1 of pale gold goes first: it is good only until 2999-12-31.") {
			t.Errorf("%s: from lot %s; %s", what, v.Powders[0].Lot, said)
		}
	}
	if v := fromJSON[savedIDs](t, run("save", "--skin", "tan", "--part", "pale gold=3", "--drawer", drawer, "--lot", "pale gold=KR-07", "--json")); v.Powders[0].Lot != "KR-07" || len(v.Notes) > 0 {
		t.Errorf("the lot named: %+v", v)
	}
	told := run("weigh", "1", "pale gold=5", "--as-planned", "--yes")
	if !strings.Contains(told, "A powder that is off moves the shade") || strings.Contains(told, "'tawny") {
		t.Errorf("a powder off is told as %s", told)
	}
}

// A bag of the book that was not compared with the lot measured brings the doubt of
// lots, though the drawer names the lot measured.
func TestALotNotComparedIsLessSure(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	drawer := filepath.Join(dir, "drawer.csv")
	mustRun(t, "fit", "../../testdata/fit/pale-gold-demo.csv", "--add", "--drawer", drawer)
	save := func(bag string) (lot string, deltaE float64) {
		file := filepath.Join(dir, bag+".db")
		mustRun(t, "book", "add", "lot", bag, "--powder", "pale gold", "--grams", "60", "--book", file)
		v := fromJSON[struct {
			Powders []struct{ Lot string }
			Result  struct {
				Blend struct {
					Uncertainty struct{ DeltaE00At95 float64 }
				}
			}
		}](t, mustRun(t, "book", "save", "--skin", "tan", "--part", "pale gold=3", "--drawer", drawer, "--book", file, "--json"))
		return v.Powders[0].Lot, v.Result.Blend.Uncertainty.DeltaE00At95
	}
	_, measured := save("KR-07")
	if lot, fresh := save("F-1"); lot != "F-1" || fresh <= measured+0.01 {
		t.Errorf("lot %q is known to ΔE00 %.3f, the one measured to %.3f", lot, fresh, measured)
	}
}

// A slip is answered with what would be accepted.
func TestSlipsAreAnswered(t *testing.T) {
	t.Parallel()
	file, _ := bookAt(t)
	for _, c := range []struct{ line, says string }{
		{"match --client Ada --target rose", "--skin client:NAME is accepted"},
		{"book add reading deep --batch 1 --book " + file, "lab:"},
		{"book add reading depe --client 1 --book " + file, "lab:"},
	} {
		if code, _, errs := tawny(t, strings.Fields(c.line)...); code != exitInput || !strings.Contains(errs, c.says) {
			t.Errorf("tawny %s: exit %d, %s", c.line, code, errs)
		}
	}
	if out := mustRun(t, "book", "list", "clients", "--book", file); !strings.Contains(out, "3 readings") {
		t.Errorf("clients: %s", out)
	}
	// A skin may be judged by a word, as elsewhere; it is told what that stands for.
	if out := mustRun(t, "book", "add", "reading", "deep", "--client", "1", "--place", "inner forearm", "--book", file); !strings.Contains(flat(out), "readings of people's faces; nothing was read at the inner forearm.") {
		t.Errorf("a reading by eye: %s", out)
	}
	if out := mustRun(t, "book", "show", "reading", "4", "--book", file); !strings.Contains(out, "by eye") || !strings.Contains(out, "on skin") {
		t.Errorf("a reading by eye: %s", out)
	}
}

// A shade asked for in words is, of a batch that was made, what it was then, though
// another jar in the drawer has changed what the words mean; and a client judged by
// eye keeps her name.
func TestAShadeInWordsStays(t *testing.T) {
	t.Parallel()
	drawer, file := ownDrawer(t), filepath.Join(t.TempDir(), "book.db")
	mustRun(t, "book", "add", "reading", "deep", "--client", "Ada", "--new-client", "--book", file)
	type view struct {
		Skin   struct{ Name string }
		Target struct{ Lab colour.Lab }
	}
	asked := []string{"--skin", "client:Ada", "--target", "soft rose", "--drawer", drawer, "--book", file, "--json"}
	then := fromJSON[struct{ Result view }](t, mustRun(t, append([]string{"book", "save"}, asked...)...)).Result
	mustRun(t, "drawer", "add", "--name", "Pale rose", "--inci", "Mica, Titanium Dioxide", "--size", "10-60", "--colour", "rose", "--drawer", drawer)
	mended := fromJSON[view](t, mustRun(t, "mend", "--batch", "1", "--looks", "too pink", "--book", file, "--json"))
	anew := fromJSON[struct{ Result view }](t, mustRun(t, append([]string{"book", "save"}, asked...)...)).Result
	if mended.Target.Lab != then.Target.Lab || colour.DeltaE00(anew.Target.Lab, then.Target.Lab) < 0.1 {
		t.Errorf("asked for %v, mended to %v, asked again %v", then.Target.Lab, mended.Target.Lab, anew.Target.Lab)
	}
	if then.Skin.Name != "Ada" {
		t.Errorf("for %q", then.Skin.Name)
	}
}
