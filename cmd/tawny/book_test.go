package main

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tawny/blend/book"
	"tawny/cmd/tawny/job"
	"tawny/colour"
)

// All people and lots here are demo: a dance company's wardrobe workshop.
const bookedDancer = "Dancer Ada (demo)"

// bookAt returns a way to run book commands on a new book with two powders in
// three lots and a client read three times at two places.
func bookAt(t testing.TB) (file string, run func(args ...string) string) {
	t.Helper()
	file = filepath.Join(t.TempDir(), "book.db")
	run = func(args ...string) string {
		t.Helper()
		return mustRun(t, append(append([]string{"book"}, args...), "--book", file)...)
	}
	run("add", "lot", "G-0117", "--powder", "pale gold", "--grams", "50")
	run("add", "lot", "G-0245", "--powder", "Pale Gold", "--grams", "100", "--strength", "0.8")
	run("add", "lot", "B-9", "--powder", "bronze", "--grams", "25.5")
	run("add", "client", bookedDancer)
	run("add", "reading", "lab:64.1,11.3,14.4", "--client", bookedDancer, "--place", "inner forearm", "--on", "2026-03-01")
	run("add", "reading", "lab:63.2,11.9,15.1", "--client", bookedDancer, "--place", "inner forearm", "--on", "2026-03-01")
	run("add", "reading", "lab:61.5,12,16", "--client", strings.ToUpper(bookedDancer), "--place", "shoulder", "--on", "2026-03-02")
	return file, run
}

// What another program wrote into a book steers no terminal, as text and as JSON, which
// says the same all the same.
func TestOddBookSteersNoTerminal(t *testing.T) {
	file, run := bookAt(t)
	db, err := sql.Open("sqlite", file)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	const odd = "a\x1b[31m\u202e\u2066\u009b2J\u007f"
	if _, err := db.Exec("UPDATE client SET name = ?", odd); err != nil {
		t.Fatal(err)
	}
	text, data := run("list", "clients"), run("list", "clients", "--json")
	if strings.ContainsAny(text+data, "\x1b\u202e\u2066\u009b\u007f") || !strings.Contains(text, `a\u001b[31m\u202e\u2066\u009b2J\u007f`) {
		t.Errorf("%q %q", text, data)
	}
	if v := fromJSON[struct{ Records []struct{ Title string } }](t, data); len(v.Records) != 1 || v.Records[0].Title != odd {
		t.Errorf("%+v in %s", v, data)
	}
}

func fromJSON[T any](t testing.TB, text string) (v T) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatalf("%v in %.200s", err, text)
	}
	return v
}

// savedIDs is what a test reads of a blend saved or made again.
type savedIDs struct {
	BlendID, BatchID int64
	Name, Client     string
	Powders          []job.PlannedPowder
	Notes            []string
}

// Stock goes down by what was weighed into batches and corrections, and by
// nothing that is only planned; a lot is found again wherever it went.
func TestBookFollowsALot(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	left := func(lot string) float64 {
		t.Helper()
		for _, l := range fromJSON[job.BookStock](t, run("stock", "--json")).Lots {
			if l.Lot == lot {
				return math.Round(l.LeftG*1e6) / 1e6
			}
		}
		t.Fatalf("no lot %s in stock", lot)
		return 0
	}
	saved := fromJSON[savedIDs](t, run("save", "--client", bookedDancer, "--part", "pale gold=2", "--part", "bronze=1", "--grams", "200", "--json"))
	if saved.Client != bookedDancer || saved.Powders[0].Lot != "G-0117" || saved.Powders[1].Lot != "B-9" {
		t.Fatalf("planned %+v for %q, want the oldest lots, for the client", saved.Powders, saved.Client)
	}
	if left("G-0117") != 50 || left("B-9") != 25.5 {
		t.Error("a plan took from the stock")
	}
	run("weigh", "1", "pale gold=4.03", "--as-planned", "--on", "2026-03-05", "--made", "197.5")
	if got := left("G-0117"); got != 45.97 {
		t.Errorf("%g g left of 50 after 4.03", got)
	}
	if got := left("B-9"); got != 23.5 {
		t.Errorf("%g g left of 25.5 after the planned 2", got)
	}
	// The addition comes from the batch's own lot.
	run("mend-record", "1", "--measured", "lab:64,12,18", "--add", "bronze=0.25")
	if got := left("B-9"); got != 23.5 {
		t.Errorf("a planned correction took from the stock: %g", got)
	}
	run("weigh", "--correction", "1", "bronze=0.24")
	if got := left("B-9"); got != 23.26 {
		t.Errorf("%g g left, want 23.5 less 0.24", got)
	}
	if c := fromJSON[job.BookCounted](t, run("count", "b-9", "23", "--json")); math.Abs(c.DifferenceG+0.26) > 1e-9 {
		t.Errorf("counted %g g off, want -0.26", c.DifferenceG)
	}
	uses := fromJSON[job.LotUses](t, run("uses", "b-9", "--json"))
	if len(uses.Clients) != 1 || uses.Clients[0] != bookedDancer {
		t.Errorf("to be told: %v", uses.Clients)
	}
	found := map[string]float64{}
	for _, u := range uses.Uses {
		found[u.Kind] += u.WeighedG
	}
	if found["batch"] != 2 || found["correction"] != 0.24 {
		t.Errorf("the recall finds %v", found)
	}
	run("move", "B-9", "1.5", "--why", "spilt")
	run("move", "B-9", "10", "--why", "bought")
	if got := left("B-9"); got != 31.5 {
		t.Errorf("%g g left of 23, less 1.5, and 10", got)
	}
	// A slip of the point is asked about, either way; what is meant is written.
	for _, slip := range []string{"pale gold=40.3", "pale gold=0.403"} {
		if code, _, errs := tawny(t, "book", "weigh", "1", slip, "--book", file); code != exitInput || !strings.Contains(errs, "--yes writes 4") && !strings.Contains(errs, "--yes writes 0.4") || left("G-0117") != 45.97 {
			t.Errorf("%s: exit %d, %s; %g g left", slip, code, errs, left("G-0117"))
		}
	}
	run("weigh", "1", "pale gold=13", "--yes")
	run("weigh", "1", "pale gold=13") // is in the book
	run("weigh", "1", "pale gold=4.03")
	// Put right: it was another bag.
	run("weigh", "1", "--lot", "pale gold=G-0245")
	if left("G-0117") != 50 || left("G-0245") != 95.97 {
		t.Errorf("the weight did not move to the other lot: %g and %g", left("G-0117"), left("G-0245"))
	}
	batch := fromJSON[struct{ Record book.Batch }](t, run("show", "batch", "1", "--json")).Record
	if batch.MadeOn != "2026-03-05" || batch.MadeG == nil || *batch.MadeG != 197.5 {
		t.Errorf("made on %q, %v g", batch.MadeOn, batch.MadeG)
	}
}

// A match is saved with all that is needed to ask again, and its files.
func TestBookSavesAMatch(t *testing.T) {
	t.Parallel()
	_, run := bookAt(t)
	dir := filepath.Join(t.TempDir(), "bench")
	out := run("save", "--skin", "tan", "--target", "skin:3,4,6", "--use", "pale gold,bronze", "--title", "House gold (demo)", "--note", "for the gala", "--out", dir)
	if !strings.Contains(out, "House gold (demo) is in the book as blend 1 and batch 1.") {
		t.Errorf("says %s", out)
	}
	for _, name := range []string{"card.png", "sheet.txt"} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil || len(data) == 0 {
			t.Errorf("%s: %v", name, err)
		}
		if name == "sheet.txt" && !strings.Contains(string(data), "G-0117") {
			t.Error("the sheet does not name the lot to weigh from")
		}
	}
	blend := fromJSON[struct{ Record book.Blend }](t, run("show", "blend", "1", "--json")).Record
	var asked job.Input
	if err := json.Unmarshal(blend.Request, &asked); err != nil || asked.Target != "skin:3,4,6" || asked.Skin != "tan" {
		t.Errorf("asked %s, %v", blend.Request, err)
	}
	if off := colour.DeltaE00(*blend.Target, *blend.Predicted); math.Abs(off-blend.DE00) > 1e-9 {
		t.Errorf("ΔE00 %g written, its colours are %g apart", blend.DE00, off)
	}
	var doc struct {
		Blend struct{ Parts []job.PartView }
	}
	if err := json.Unmarshal(blend.Document, &doc); err != nil || len(doc.Blend.Parts) != len(blend.Powders) {
		t.Errorf("the result kept has %d powders, the record %d: %v", len(doc.Blend.Parts), len(blend.Powders), err)
	}
	if blend.DE00At95 == nil || *blend.DE00At95 <= 0 || blend.Note != "for the gala" {
		t.Errorf("certainty %v, note %q", blend.DE00At95, blend.Note)
	}
}

// A client's skin is the mean over places, each the mean of its readings:
// ((64.1 + 63.2)/2 + 61.5)/2 = 62.575 and so on, worked by hand.
func TestSkinOfAClientIsTheirAverage(t *testing.T) {
	file, run := bookAt(t)
	want := colour.Lab{L: 62.575, A: 11.8, B: 15.375}
	t.Setenv("TAWNY_BOOK", file)
	v := fromJSON[struct {
		Lab  colour.Lab
		Name string
		Note string
	}](t, mustRun(t, "skin", "--skin", "client:dancer ada (DEMO)", "--json"))
	if colour.DeltaE76(v.Lab, want) > 1e-6 || v.Name != bookedDancer {
		t.Errorf("skin %v of %q, want %v", v.Lab, v.Name, want)
	}
	if !strings.Contains(v.Note, "3 readings at 2 places") {
		t.Errorf("note %q", v.Note)
	}
	c := fromJSON[job.BookClient](t, run("client", "1", "--json"))
	if colour.DeltaE76(c.Skin.Lab, want) > 1e-9 || c.Skin.Readings != 3 || c.Skin.MeanDE00 <= 0 {
		t.Errorf("client's skin %+v", c.Skin.Average)
	}
	out := mustRun(t, "match", "--skin", "client:"+bookedDancer, "--target", "skin:3,3,-2", "--only", "pale gold,bronze")
	if !strings.Contains(out, "skin reading") {
		t.Errorf("the spread of the readings is not in the prediction: %s", out)
	}
	if code, _, errs := tawny(t, "skin", "--skin", "client:Dancer Ad (demo)"); code != exitInput || !strings.Contains(errs, bookedDancer) {
		t.Errorf("an unknown client: exit %d, %s", code, errs)
	}
}

// Readings with and without gloss are not averaged.
func TestGlossIsNotMixed(t *testing.T) {
	t.Parallel()
	_, run := bookAt(t)
	run("add", "client", "Dancer Bel (demo)")
	run("add", "reading", "lab:60,12,17/de", "--client", "Dancer Bel (demo)")
	if v := fromJSON[job.BookClient](t, run("client", "Dancer Bel (demo)", "--json")); v.View == nil {
		t.Error("a reading without gloss is no skin")
	}
	r := fromJSON[struct{ Record book.Reading }](t, run("show", "reading", "4", "--json")).Record
	if r.Geometry != "de" {
		t.Errorf("geometry %q", r.Geometry)
	}
	file := filepath.Join(t.TempDir(), "mixed.db")
	run("backup", file)
	if code, out, errs := tawny(t, "book", "add", "reading", "lab:66,12,17", "--client", "Dancer Bel (demo)", "--book", file); code != 0 || !strings.Contains(flat(out+errs), "with and without gloss have no mean") {
		t.Errorf("exit %d: %s%s", code, out, errs)
	}
	if v := fromJSON[job.BookClient](t, mustRun(t, "book", "client", "Dancer Bel (demo)", "--book", file, "--json")); v.View == nil || math.Abs(v.View.Lab.L-63) < 2.9 {
		t.Errorf("of one reading of each kind the skin is %+v", v.View)
	}
}

// A stated blend made again of a lot of strength 0.8 holds 1/0.8 as much of it:
// as much colour lies on the skin. What is weighed is that share of the batch, to
// a step of the balance.
func TestAgainAllowsForStrength(t *testing.T) {
	t.Parallel()
	_, run := bookAt(t)
	run("save", "--skin", "tan", "--part", "pale gold=2", "--part", "bronze=1", "--target", "skin:3,4,6", "--grams", "200")
	run("weigh", "1", "--as-planned")
	run("count", "G-0117", "0.5") // too little is left of it
	again := fromJSON[struct {
		savedIDs
		OffOld float64 `json:"deltaE00FromOld"`
	}](t, run("again", "1", "--json"))
	want := map[string]float64{"pale gold": 2 / 0.8, "bronze": 1}
	for _, p := range again.Powders {
		if math.Abs(p.Percent-want[p.Name]) > 1e-12 {
			t.Errorf("%s at %g %%, want %g", p.Name, p.Percent, want[p.Name])
		}
		if math.Abs(p.Grams-p.Percent/100*200) > 0.011 {
			t.Errorf("%s: %g g of 200 g, its share is %g %%", p.Name, p.Grams, p.Percent)
		}
	}
	if again.Powders[0].Lot != "G-0245" || again.BatchID != 2 {
		t.Errorf("made again as %+v", again.savedIDs)
	}
	anew := fromJSON[struct{ Choice string }](t, run("again", "1", "--any", "--json"))
	if !strings.HasPrefix(anew.Choice, "Chosen from all") {
		t.Errorf("with --any: %s", anew.Choice)
	}
	// Made once more, it is corrected by the lots of then and today alone.
	run("weigh", "2", "--as-planned")
	for lot, want := range map[string]float64{"G-0245": 2.5, "G-0117": 2} {
		v := fromJSON[savedIDs](t, run("again", "2", "--grams", "20", "--lot", "pale gold="+lot, "--json"))
		if got := v.Powders[0]; got.Lot != lot || math.Abs(got.Percent-want) > 1e-6 {
			t.Errorf("of lot %s once more: %+v, want %g %%", lot, got, want)
		}
	}
	// So is one that was mended, with a powder that only the mending added.
	run("add", "lot", "R-1", "--powder", "rose gleam", "--grams", "9")
	run("add", "lot", "R-2", "--powder", "rose gleam", "--grams", "9", "--strength", "0.5")
	run("mend-record", "2", "--add", "rose gleam=1", "--lot", "rose gleam=R-1", "--weighed")
	v := fromJSON[savedIDs](t, run("again", "2", "--lot", "rose gleam=R-2", "--json"))
	if got := v.Powders[2]; got.Lot != "R-2" || math.Abs(got.Percent-2*100/201.0) > 1e-4 {
		t.Errorf("mended and made once more: %+v, want twice 1 g of 201 g", got)
	}
	// What is asked of it anew is its size, its name and its code; that it was mended is said.
	run("mend-record", "1", "--add", "bronze=1")
	for _, c := range []struct {
		more, says, not string
		mended          int
	}{
		{"--containers 6 --ml 30 --title Matinee --code M-2", "The mended recipe: batch 1 with what 1 correction added", "not taken over", 1},
		{"--any", "What was added when it was mended is not taken over", "mended recipe", 0},
	} {
		v := fromJSON[job.BookMadeAgain](t, run(append([]string{"again", "1", "--json"}, strings.Fields(c.more)...)...))
		if !strings.Contains(v.Choice, c.says) || strings.Contains(v.Choice, c.not) || len(v.Mended) != c.mended {
			t.Errorf("%s: %s, of %v", c.more, v.Choice, v.Mended)
		}
		if c.mended > 0 && (v.Name != "Matinee" || v.Batch.Code != "M-2" || v.Batch.Filling.Asked != 6 || v.Batch.Filling.ContainerML != 30 || !strings.Contains(strings.Join(v.Notes, " "), "counts as planned") ||
			!strings.Contains(strings.Join(v.Notes, " "), "looked like when it was mended is in the recipe alone") || !strings.Contains(strings.Join(v.Notes, " "), "where batch 1 was planned with 3 %")) {
			t.Errorf("%s, code %s, %+v, %v", v.Name, v.Batch.Code, v.Batch.Filling, v.Notes)
		}
	}
	out := run("again", "1", "--grams", "400")
	if !strings.Contains(out, "strength 0.8") || !strings.Contains(out, "400.00 g") {
		t.Errorf("says %s", out)
	}
}

// A blend saved from a lot that colours otherwise than the drawer's data is of that lot
// from the start: stated, it looks as predicted and its share is told; matched, it keeps
// to what was asked of its load and powders.
func TestSaveAllowsForStrength(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	type saved struct {
		savedIDs
		Result struct {
			Blend struct {
				Lab         colour.Lab
				LoadPercent float64
			}
		}
	}
	save := func(args ...string) saved {
		return fromJSON[saved](t, run(append([]string{"save", "--skin", "tan", "--grams", "200", "--json"}, args...)...))
	}
	stated := []string{"--part", "pale gold=2", "--part", "bronze=1"}
	as, of := save(stated...), save(append(stated, "--lot", "pale gold=G-0245")...)
	if d := colour.DeltaE00(as.Result.Blend.Lab, of.Result.Blend.Lab); d > 1e-6 || math.Abs(of.Result.Blend.LoadPercent-3.5) > 1e-9 {
		t.Errorf("of a weaker lot it is ΔE00 %g off, at %g %%", d, of.Result.Blend.LoadPercent)
	}
	if g := of.Powders[0]; g.Lot != "G-0245" || math.Abs(g.Percent-2.5) > 1e-9 || math.Abs(g.Grams-5) > 0.011 || of.Powders[1].Percent != 1 {
		t.Errorf("%+v", of.Powders)
	}
	if said := strings.Join(of.Notes, " "); !strings.Contains(said, "colours 0.8 times as much") || !strings.Contains(said, "2.5 %") || len(as.Notes) != 0 {
		t.Errorf("%s; of the drawer's own %v", said, as.Notes)
	}
	again := fromJSON[savedIDs](t, run("again", "2", "--lot", "pale gold=G-0117", "--json"))
	if g := again.Powders[0]; g.Lot != "G-0117" || math.Abs(g.Percent-2) > 1e-6 {
		t.Errorf("made again of the lot that is as the data: %+v", g)
	}
	// The lot whose strength is reckoned with is the one weighed from, also where putting the
	// share right takes more than it has.
	run("add", "lot", "W-1", "--powder", "bronze", "--grams", "5.2", "--strength", "0.8", "--expires", "2027-06-30")
	colours := map[string]float64{"W-1": 0.8, "B-9": 1}
	v := save("--part", "bronze=2.5")
	if g := v.Powders[0]; math.Abs(g.Percent*colours[g.Lot]-2.5) > 1e-6 {
		t.Errorf("%g %% of lot %s", g.Percent, g.Lot)
	}
	for _, grams := range []string{"40", "160", "200", "400"} {
		if g := fromJSON[savedIDs](t, run("again", fmt.Sprint(v.BatchID), "--grams", grams, "--json")).Powders[0]; math.Abs(g.Percent*colours[g.Lot]-2.5) > 1e-6 {
			t.Errorf("made again, %s g: %g %% of lot %s", grams, g.Percent, g.Lot)
		}
	}
	matched := []string{"--target", "skin:3,1,6", "--only", "pale gold,bronze", "--load", "3", "--at-most", "pale gold=2.5"}
	as, of = save(matched...), save(append(matched, "--lot", "pale gold=G-0245")...)
	gold := func(v saved) float64 {
		return v.Powders[slices.IndexFunc(v.Powders, func(p job.PlannedPowder) bool { return p.Name == "pale gold" })].Percent
	}
	// So weigh the sheets that are written of no batch in the book.
	run("edit", "lot", "G-0245", "--held", "")
	run("edit", "lot", "G-0117", "--held", "set aside")
	for _, asked := range [][]string{append(stated, "--target", "skin:3,1,6"), matched} {
		all, dir := append([]string{"--skin", "tan", "--grams", "200", "--book", file}, asked...), t.TempDir()
		sheets := []string{mustRun(t, append([]string{"batch"}, all...)...)}
		if _, _, errs := tawny(t, append([]string{"card", "--out", dir}, all...)...); !strings.Contains(flat(errs), "colours 0.8 times") {
			t.Errorf("the card says nothing of the lot: %s", errs)
		}
		if slices.Equal(asked, matched) {
			said := mustRun(t, append([]string{"match", "--out", dir}, all...)...)
			sheet, err := os.ReadFile(filepath.Join(dir, "sheet.txt"))
			if err != nil {
				t.Fatal(err)
			}
			sheets = append(sheets, said+string(sheet))
		}
		for _, p := range save(asked...).Powders { // after them, for it takes of the lots
			line := fmt.Sprintf("%.2f %s", p.Grams, p.Lot)
			for _, sheet := range sheets {
				if !strings.Contains(flat(sheet), line) || p.Name == "pale gold" && p.Lot != "G-0245" || !strings.Contains(sheet, "colours 0.8 times") {
					t.Errorf("no %q in\n%s", line, sheet)
				}
			}
		}
	}
	if gold(of) <= gold(as) || gold(of) > 2.5+1e-9 || math.Abs(of.Result.Blend.LoadPercent-3) > 1e-9 || !strings.Contains(strings.Join(of.Notes, " "), "colours 0.8 times") {
		t.Errorf("matched of it: %g %% where else %g %%, load %g %%, %v", gold(of), gold(as), of.Result.Blend.LoadPercent, of.Notes)
	}
}

// A match made again keeps to what is left of a lot, and tries other powders
// only where one is gone.
func TestAgainKeepsToTheStock(t *testing.T) {
	t.Parallel()
	_, run := bookAt(t)
	run("save", "--skin", "tan", "--target", "skin:3,3,-2", "--only", "pale gold,bronze", "--load-max", "4", "--grams", "200")
	run("count", "G-0117", "0.5")
	run("count", "G-0245", "2")
	type madeAgain struct {
		savedIDs
		Choice string
		Then   []job.AgainLine
	}
	v := fromJSON[madeAgain](t, run("again", "1", "--json"))
	if !strings.HasPrefix(v.Choice, "The powders used then") {
		t.Errorf("chosen: %s", v.Choice)
	}
	for _, p := range v.Powders {
		if p.Name == "pale gold" && (p.Lot != "G-0245" || p.Percent > 1+1e-9) {
			t.Errorf("%.4g %% of lot %s; 2 g in 200 g are left", p.Percent, p.Lot)
		}
	}
	run("count", "G-0117", "0")
	run("count", "G-0245", "0")
	v = fromJSON[madeAgain](t, run("again", "1", "--json"))
	if !strings.Contains(v.Choice, "Nothing is left of pale gold") {
		t.Errorf("chosen: %s", v.Choice)
	}
	for _, p := range v.Powders {
		if p.Name == "pale gold" {
			t.Error("a powder with nothing left is planned")
		}
	}
}

// Where the skin's file is gone, its colour in the book stands in, and it says
// so; where another is named that is not there, it is refused.
func TestAgainWithoutTheSkinsFile(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	reading := filepath.Join(t.TempDir(), "arm.csv")
	rows := "wavelength,reflectance\n"
	for nm := 380; nm <= 730; nm += 10 {
		rows += fmt.Sprintf("%d,%.4f\n", nm, 0.15+0.4*float64(nm-380)/350)
	}
	if err := os.WriteFile(reading, []byte(rows), 0o644); err != nil {
		t.Fatal(err)
	}
	run("save", "--skin", reading, "--part", "pale gold=2")
	if err := os.Remove(reading); err != nil {
		t.Fatal(err)
	}
	v := fromJSON[struct {
		savedIDs
		SkinOff float64 `json:"skinDeltaE00FromOld"`
	}](t, run("again", "1", "--json"))
	if len(v.Notes) == 0 || !strings.Contains(v.Notes[0], "arm.csv") || v.SkinOff > 0.02 {
		t.Errorf("notes %q, the skin ΔE00 %g off", v.Notes, v.SkinOff)
	}
	if code, _, errs := tawny(t, "book", "again", "1", "--skin", reading, "--book", file); code != exitInput {
		t.Errorf("exit %d: %s", code, errs)
	}
}

// An import that is refused leaves nothing, in the folder for passing files neither.
func TestImportRefusedLeavesNothing(t *testing.T) {
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	file := filepath.Join(t.TempDir(), "book.db")
	for _, export := range []string{"book_test.go", "."} {
		if code, _, errs := tawny(t, "book", "import", export, "--book", file); code != exitInput {
			t.Errorf("exit %d: %s", code, errs)
		}
	}
	for _, dir := range []string{temp, filepath.Dir(file)} {
		if left := filesIn(t, dir); len(left) > 0 {
			t.Errorf("left in %s: %v", dir, left)
		}
	}
}

// What is exported and imported is the same book, byte for byte as exported
// again; clients only go where they are asked for.
func TestBookRoundTripByCommands(t *testing.T) {
	t.Parallel()
	_, run := bookAt(t)
	run("save", "--client", bookedDancer, "--part", "pale gold=2", "--target", "skin:3,4,6")
	run("weigh", "1", "--as-planned")
	dir := t.TempDir()
	for _, name := range []string{"whole.json", "whole.zip", "whole-csv"} {
		first, second := filepath.Join(dir, name), filepath.Join(dir, "2"+name)
		copied := filepath.Join(dir, name+".db")
		run("export", first, "--clients")
		mustRun(t, "book", "import", first, "--book", copied)
		mustRun(t, "book", "export", second, "--clients", "--book", copied)
		if a, b := filesIn(t, first), filesIn(t, second); len(a) == 0 || !sameFiles(a, b) {
			t.Errorf("%s: the export of the import differs", name)
		}
		if out := mustRun(t, "book", "check", "--book", copied); !strings.Contains(out, "is sound") {
			t.Errorf("%s: %s", name, out)
		}
	}
	plain := filepath.Join(dir, "plain.json")
	out := run("export", plain)
	data, err := os.ReadFile(plain)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(data), "Ada") || !strings.Contains(out, "left out") {
		t.Errorf("a client is in an export nobody asked to have them in, or it does not say so: %s", out)
	}
}

// filesIn reads a file, or all in a folder.
func filesIn(t *testing.T, path string) map[string]string {
	t.Helper()
	found := map[string]string{}
	root := path
	err := filepath.WalkDir(path, func(p string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(p)
		name, _ := filepath.Rel(root, p)
		found[name] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func sameFiles(a, b map[string]string) bool {
	for name, data := range a {
		if b[name] != data {
			return false
		}
	}
	return len(a) == len(b)
}

// Without --yes nothing is forgotten; with it no byte of the client is left in
// any file of the book, and the batch is still found by its lot.
func TestForgetLeavesNoBytes(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	run("save", "--client", bookedDancer, "--part", "pale gold=2", "--title", "Ada's gala gold (demo)", "--note", "Ada likes it")
	run("weigh", "1", "--as-planned")
	holds := func() (n int) {
		for _, data := range filesIn(t, filepath.Dir(file)) {
			n += strings.Count(strings.ToLower(data), "ada")
		}
		return n
	}
	if code, out, errs := tawny(t, "book", "forget", bookedDancer, "--book", file); code != exitInput || out != "" || !strings.Contains(errs, "3 readings") || !strings.Contains(errs, "--yes") {
		t.Errorf("exit %d: %s%s", code, out, errs)
	}
	if holds() == 0 {
		t.Fatal("the name is not in the file to begin with: the test sees nothing")
	}
	out := filepath.Join(t.TempDir(), "bench")
	run("save", "--client", bookedDancer, "--part", "pale gold=1", "--out", out)
	if n := len(fromJSON[job.BookList](t, run("list", "files", "--json")).Records); n != 3 {
		t.Errorf("%d files are noted, want the card, its back and the sheet of the blend", n)
	}
	if said := run("forget", bookedDancer, "--yes"); !strings.Contains(said, filepath.Join(out, "sheet.txt")) {
		t.Errorf("the sheet is not named:\n%s", said)
	}
	if n := holds(); n > 0 {
		t.Errorf("the name is still %d times in the book's files", n)
	}
	if uses := fromJSON[job.LotUses](t, run("uses", "G-0117", "--json")); len(uses.Clients) != 0 || len(uses.Uses) == 0 {
		t.Errorf("the recall finds %+v", uses)
	}
	for _, said := range []string{run("again", "1"), run("again", "2", "--any")} {
		if !strings.Contains(said, "forgotten") || strings.Contains(said, "On the skin") {
			t.Errorf("made again: %s", said)
		}
	}
}

// A recall by a batch's code finds that batch and no other: a code is one batch's, is no
// number that a later batch may be labelled with, and has no word that forgetting the
// client would take out.
func TestACodeIsOneBatchs(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	save := strings.Fields("book save --skin tan --part bronze=2 --grams 50 --book " + file)
	for _, of := range []struct{ client, code, wants string }{
		{"", "RA-01", ""},
		{"", "ra-01", "batch 1's"},
		{"", "1", "another may come to bear it"}, // batch 1 bears RA-01
		{"", "7", "another may come to bear it"},
		{"", "261127", ""},
		{bookedDancer, "ADA-11", "forgetting them"},
		{bookedDancer, "AD-11", ""},
	} {
		args := append(slices.Clone(save), "--code", of.code)
		if of.client != "" {
			args = append(args, "--client", of.client)
		}
		code, _, errs := tawny(t, args...)
		if said := flat(errs); of.wants == "" && code != 0 || of.wants != "" && (code != exitInput || !strings.Contains(said, of.wants)) {
			t.Errorf("--code %s for %q: exit %d, %s", of.code, of.client, code, said)
		}
	}
	if list := run("list", "batches"); strings.Count(list, "code") != 3 {
		t.Errorf("in the book are\n%s", list)
	}
	for code, wants := range map[string]string{"2": "another may come", "Ada": "forgetting them", "3": ""} {
		if exit, _, errs := tawny(t, "book", "edit", "batch", "3", "--code", code, "--book", file); (exit == 0) != (wants == "") || !strings.Contains(flat(errs), wants) {
			t.Errorf("batch 3 as %s: exit %d, %s", code, exit, errs)
		}
	}
}

// After a client is forgotten the bench's record stays: the sheet with what was read, the
// labels as they were, the lots' uses, and the same recipe again from today's lots. None
// of them has the name or the skin.
func TestForgetKeepsWhatWasMade(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	dir := t.TempDir()
	run("save", "--client", bookedDancer, "--target", "skin:-3,4,6", "--use", "pale gold,bronze", "--title", "For Ada (demo)", "--note", "Ada likes it", "--containers", "8", "--ml", "50", "--code", "EG-7", "--keep", "1")
	run("weigh", "1", "--as-planned", "--reading", "pH=5,1", "--reading", "7 temperature=38", "--reading", "number filled=8", "--reading", "colour and smell=as Ada wished",
		"--reading", "empty=812.5", "--reading", "pot and all=1230.4")
	if code, _, errs := tawny(t, "book", "weigh", "1", "--reading", "2 pot and water=700", "--book", file); code != exitInput || !strings.Contains(errs, "where about 11") {
		t.Errorf("a pot of 700 g where the empty one is 812.5 g: exit %d, %s", code, errs)
	}
	labels := func() string { return mustRun(t, "labels", "--batch", "1", "--book", file) }
	before, sheet := labels(), mustRun(t, "batch", "--batch", "1", "--book", file)
	if !strings.Contains(sheet, "Ada") || strings.Contains(before, "DRAFT: to mend") {
		t.Fatalf("before:\n%s\n%s", sheet, before)
	}
	was := fromJSON[struct{ Record book.Batch }](t, run("show", "batch", "1", "--json")).Record
	if was.MadeG == nil || *was.MadeG != 417.9 {
		t.Errorf("the pots say that it weighs %v", was.MadeG)
	}
	run("forget", bookedDancer, "--yes")
	after := labels()
	if want := strings.Replace(before, "For Ada (demo)   ", "", 1); after != want {
		t.Errorf("labels were\n%s and are\n%s", before, after)
	}
	again := fromJSON[job.BookMadeAgain](t, run("again", "1", "--lot", "pale gold=G-0245", "--json"))
	if code := again.Batch.Code; code != "" {
		t.Errorf("made again under the batch code %s of the old", code)
	}
	if s := mustRun(t, "batch", "--batch", "2", "--book", file); !strings.Contains(s, "Batch code 2, made on ___") {
		t.Errorf("planned alone its sheet says\n%s", s)
	}
	if list := run("list", "batches"); !strings.Contains(list, "code EG-7") || strings.Count(list, "code") != 1 {
		t.Errorf("the codes listed:\n%s", list)
	}
	if again.Result != nil || len(again.Batch.Weighings) != len(was.Weights) || again.Client != "" || again.BlendID != 2 {
		t.Errorf("made again: %+v", again.BookSaved)
	}
	for i, w := range again.Batch.Weighings {
		asThen := was.Weights[i].PlannedG
		switch w.Name {
		case "pale gold": // of a lot that colours 0.8 times as much
			if w.Lot != "G-0245" || math.Abs(w.Grams-asThen/0.8) > 0.011 {
				t.Errorf("%s: %v g of lot %s, then %v g", w.Name, w.Grams, w.Lot, asThen)
			}
		case "bronze":
			if math.Abs(w.Grams-asThen) > 0.011 {
				t.Errorf("%s: %v g, then %v g", w.Name, w.Grams, asThen)
			}
		}
	}
	now := mustRun(t, "batch", "--batch", "1", "--out", dir, "--format", "markdown", "--book", file) + filesIn(t, dir)["sheet.md"]
	for _, want := range []string{"pH, wanted 4.8–5.2: 5.1", "temperature: 38 °C", "number filled: 8", "417.9", "EG-7", "G-0117"} {
		if !strings.Contains(now, want) {
			t.Errorf("the sheet lacks %q:\n%s", want, now)
		}
	}
	kept := now + after + run("show", "batch", "1") + run("show", "batch", "1", "--json") + run("again", "1") + run("uses", "G-0117") + run("list", "batches")
	for _, gone := range []string{"Ada", "64.1", "63.0", "skin:", `"skin":"`, "On the skin"} {
		if strings.Contains(strings.ReplaceAll(kept, `"skin":""`, ""), gone) {
			t.Errorf("%q is still told:\n%s", gone, kept)
		}
	}
	if code, _, errs := tawny(t, "mend", "--batch", "1", "--looks", "too light", "--book", file); code != exitInput || !strings.Contains(errs, "--skin") {
		t.Errorf("mended without a skin, exit %d: %s", code, errs)
	}
	mended := fromJSON[job.MendResult](t, mustRun(t, "mend", "--batch", "1", "--skin", "dark", "--looks", "too light", "--book", file, "--json"))
	if mended.Skin.Name != "dark" || colour.DeltaE00(mended.Target.Lab, mended.Skin.Lab) > 20 || mended.Target.Lab.L > 45 {
		t.Errorf("on another's skin it is to be %v where that is %v", mended.Target.Lab, mended.Skin.Lab)
	}
	// Its blend is what is in it: of the lot it is weighed from, and as it was mended.
	run("mend-record", "1", "--add", "yellow oxide=0.5", "--weighed")
	asMended := fromJSON[job.BookMadeAgain](t, run("again", "1", "--json")).BlendID
	for id, want := range map[int64]string{2: "lot G-0245", asMended: "yellow oxide"} {
		if said := run("show", "blend", fmt.Sprint(id)); !strings.Contains(said, want) || strings.Contains(said, "skin") {
			t.Errorf("no %q in %s", want, said)
		}
	}
}

// A base that was pasted as a label's names alone, before that had to be said, is of the
// batches made then the label it was: they are made again, labelled and printed.
func TestALabelPastedBefore(t *testing.T) {
	t.Parallel()
	_, run := bookAt(t)
	dir := t.TempDir()
	export, file := filepath.Join(dir, "export.json"), filepath.Join(dir, "imported.db")
	run("save", "--skin", "tan", "--part", "pale gold=2", "--containers", "8", "--ml", "50", "--base", "recipe:Aqua, Glycerin, Cetearyl Alcohol, Phenoxyethanol\nkind: ready")
	run("export", export, "--clients")
	recipe := filepath.Join(dir, "own.txt")
	here, err := os.Getwd()
	near, errs := filepath.Rel(here, recipe)
	if err := errors.Join(err, errs, os.WriteFile(recipe, []byte("water 70 %, glycerin 30"), 0o600)); err != nil {
		t.Fatal(err)
	}
	run("save", "--skin", "tan", "--part", "pale gold=2", "--base", near)
	if asked := run("show", "batch", "2", "--json"); !strings.Contains(asked, `"base": "`+recipe) {
		t.Errorf("from another folder its recipe is not found: %s", asked)
	}
	now, err := os.ReadFile(export)
	if err != nil {
		t.Fatal(err)
	}
	then := strings.NewReplacer(`"schema": 12`, `"schema": 11`, `\nkind: ready`, "").Replace(string(now))
	if len(then) != len(now)-2*len(`\nkind: ready`) {
		t.Fatalf("the request does not stand twice in\n%s", now)
	}
	if err := os.WriteFile(export, []byte(then), 0o600); err != nil {
		t.Fatal(err)
	}
	mustRun(t, "book", "import", export, "--book", file)
	for _, c := range []struct{ line, says string }{
		{"book again 1", "own recipe"}, {"labels --batch 1", "Ingredients: Aqua, Glycerin, Cetearyl Alcohol, Phenoxyethanol"},
		{"batch --batch 1", "own recipe"}, {"mend --batch 1 --looks pink", "Target    L* 59.2"},
	} {
		if said := mustRun(t, append(strings.Fields(c.line), "--book", file)...); !strings.Contains(said, c.says) {
			t.Errorf("%s:\n%s", c.line, said)
		}
	}
}

// The sheet of a batch in the book tells what was weighed of which lot and what was added
// since, and its labels are as many as that fills.
func TestSheetOfWhatWasWeighed(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	run("save", "--skin", "tan", "--part", "pale gold=2", "--containers", "8", "--ml", "50")
	sheet := func() string { return mustRun(t, "batch", "--batch", "1", "--book", file) }
	if s := sheet(); strings.Contains(s, "☑") || strings.Contains(s, "weighed g") {
		t.Errorf("planned alone:\n%s", s)
	}
	run("weigh", "1", "pale gold=9.42", "--lot", "pale gold=G-0245", "--as-planned", "--yes", "--on", "2026-03-05")
	run("mend-record", "1", "--add", "bronze=125", "--weighed", "--yes")
	for _, want := range []string{"made on 2026-03-05", "9.42  G-0245", "☑ pale gold, weighed 9.42 g, planned", "125.00 g of bronze, lot B-9 added", "fills 10 containers"} {
		if s := sheet(); !strings.Contains(flat(s), flat(want)) {
			t.Errorf("no %q in\n%s", want, s)
		}
	}
}

// A batch code is one batch's: another is refused it, by name, and nothing is written.
func TestOneCodeOneBatch(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	run("save", "--skin", "tan", "--part", "bronze=1", "--code", "RA-01")
	run("save", "--skin", "tan", "--part", "bronze=1")
	for _, c := range []struct{ line, says string }{
		{"book again 2 --code ra-01", "batch 1's"}, {"book save --skin tan --part bronze=1 --code RA-01", "batch 1's"},
		{"book save --skin tan --part bronze=1 --code 2", "batch 2's"}, {"book edit batch 2 --code RA-01", "batch 1's"}, {"book edit lot B-9 --code RA-03", "is a batch's"},
	} {
		if code, _, errs := tawny(t, append(strings.Fields(c.line), "--book", file)...); code != exitInput || !strings.Contains(errs, c.says) {
			t.Errorf("%s: exit %d, %s", c.line, code, errs)
		}
	}
	if n := len(fromJSON[job.BookList](t, run("list", "batches", "--json")).Records); n != 2 {
		t.Errorf("%d batches, want 2", n)
	}
	mustRun(t, "labels", "--batch", "1", "--code", "RA-01", "--book", file) // its own
	run("again", "1", "--code", "RA-02")
}

// What is planned from a lot is not promised to another batch: that takes the next lot with
// enough, or is told what is missing.
func TestAPlannedLotIsNotPromisedTwice(t *testing.T) {
	t.Parallel()
	_, run := bookAt(t)
	save := func(percent string) savedIDs {
		return fromJSON[savedIDs](t, run("save", "--skin", "tan", "--part", "bronze="+percent, "--grams", "200", "--json"))
	}
	if first := save("8"); first.Powders[0].Lot != "B-9" || len(first.Notes) != 0 {
		t.Errorf("%+v", first)
	}
	second := save("8")
	if said := strings.Join(second.Notes, " "); !strings.Contains(said, "has 25.5 g left, of which 16 g are planned for batches not begun; this batch needs 16 g") {
		t.Errorf("%s", said)
	}
	run("add", "lot", "B-10", "--powder", "bronze", "--grams", "40")
	if said := run("stock"); !strings.Contains(said, "32 g planned") {
		t.Errorf("%s", said)
	}
	if third := save("8"); third.Powders[0].Lot != "B-10" || len(third.Notes) != 0 {
		t.Errorf("%+v", third)
	}
}

// The label on the sheet of a batch in the book is that of what is in it, of its pH and its
// code, as 'labels' prints it; and what the batch was said to weigh fills its blank.
func TestLabelOnTheSheetIsOfWhatWasMade(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	run("save", "--skin", "tan", "--part", "pale gold=2", "--containers", "4", "--ml", "50")
	sheet := func() string { return flat(mustRun(t, "batch", "--batch", "1", "--book", file)) }
	if s := sheet(); !strings.Contains(s, "Batch: 1 ") || strings.Contains(s, "CI 77499") {
		t.Errorf("planned:\n%s", s)
	}
	told := flat(run("weigh", "1", "--as-planned", "--made", "205", "--reading", "pH=7.9", "--yes"))
	run("mend-record", "1", "--add", "black oxide=0.38", "--weighed")
	s, list := sheet(), ""
	for _, line := range fromJSON[job.LabelsResult](t, mustRun(t, "labels", "--batch", "1", "--book", file, "--json")).Draft {
		list += line
	}
	for _, want := range []string{"CI 77499", "DRAFT: to mend before it is sold: Benzyl alcohol", "Batch: 1 ", "batch weighs, wanted 209.09: 205.00 g", "The label is of that"} {
		if !strings.Contains(s, want) {
			t.Errorf("no %q on the sheet:\n%s", want, s)
		}
	}
	if !strings.Contains(list, "Benzyl alcohol") || strings.Count(s, "CI 77499") != 1 {
		t.Errorf("the labels say %q, the sheet\n%s", list, s)
	}
	if !strings.Contains(told, "The batch weighs 205.00 g, 4.09 g less than went in. Stir in as much boiled purified water") {
		t.Errorf("weighed: %s", told)
	}
}

// What the pot weighs after a mending has what mended it in it, in the answer as on the
// sheet, and in how much went since; what is weighed after the pot is counted onto it,
// where it was not in it.
func TestThePotIsWeighedAgain(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	weigh := func(id string, args ...string) string { return flat(run(append([]string{"weigh", id}, args...)...)) }
	sheet := func(id string) string { return flat(mustRun(t, "batch", "--batch", id, "--book", file)) }
	want := func(text string, has ...string) {
		t.Helper()
		for _, w := range has {
			if !strings.Contains(text, w) {
				t.Errorf("no %q in:\n%s", w, text)
			}
		}
	}
	for _, c := range []struct{ id, base, water string }{{"1", "everyday-lotion", ". Stir in as much boiled purified water, cooled"}, {"2", "silk-body-oil", ""}} {
		run("save", "--skin", "tan", "--part", "pale gold=2", "--grams", "200", "--base", c.base)
		want(weigh(c.id, "--as-planned", "--made", "198"), "200.00 g in all; the powders are 2.0")
		run("mend-record", c.id, "--add", "black oxide=2", "--weighed")
		want(weigh(c.id, "--made", "195"), "202.00 g in all; ", " of the 195.00 g that it weighs", "The batch weighs 195.00 g, 5.00 g less than went in"+c.water+".")
		want(sheet(c.id), "As it stands it is 195.00 g", "batch weighs, wanted 200.00: 195.00 g")
		if code, _, errs := tawny(t, "book", "weigh", c.id, "--made", "203", "--book", file); code != exitInput || !strings.Contains(errs, "203.00 g made, and 200.00 g went into it") {
			t.Errorf("exit %d, %s", code, errs)
		}
		weigh(c.id, "--reading", "empty main pot=300")
		want(weigh(c.id, "--reading", "pot and all=494", "--yes"), "The batch weighs 194.00 g, ", " of the 194.00 g that it weighs")
		weigh(c.id, "--reading", "number filled=3")
		want(sheet(c.id), "As it stands it is 194.00 g")
		want(flat(run("weigh", "--correction", c.id, "--made", "193")), "The batch weighs 193.00 g with it.")
		want(sheet(c.id), "As it stands it is 193.00 g", "batch weighs, wanted 200.00: 193.00 g")
		want(weigh(c.id, "--reading", "pot and all=494", "--yes"), " of the 194.00 g that it weighs") // the same again
		run("weigh", "--correction", c.id, "--made", "none")
		want(sheet(c.id), "As it stands it is 200.00 g")
	}
	run("save", "--skin", "tan", "--part", "pale gold=2", "--grams", "400")
	weigh("3", "--as-planned")
	weigh("3", "vitamin E=none", "--made", "390")
	want(weigh("3", "vitamin E=1.2"), "The batch weighs 391.20 g, 8.80 g less than went in", "That is the 390.00 g it weighed and what is weighed now, 1.20 g", " of the 391.20 g that it weighs")
	want(weigh("3", "--put", "citric acid=1"), " of the 392.20 g that it weighs")
	want(sheet("3"), "As it stands it is 392.20 g")
	weigh("3", "vitamin E=none", "--made", "401")
	want(weigh("3", "vitamin E=1.2"), "It is taken to weigh 401.00 g as before, with what is weighed now, 1.20 g, in that.", " of the 401.00 g that it weighs")
}

// A damaged book is reported by every command and stays as it was; a backup
// puts a sound one in its place and keeps the damaged.
func TestDamagedBookIsNeverWritten(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	dir := filepath.Dir(file)
	backup := filepath.Join(dir, "backup.db")
	run("backup", backup)
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	cut := whole[:5000]
	if err := os.WriteFile(file, cut, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"list"}, {"check"}, {"stock"}, {"add", "client", "Dancer Cy (demo)"}, {"client", "1"}, {"forget", "1", "--yes"},
		{"save", "--skin", "tan", "--part", "bronze=1"}, {"weigh", "1", "--as-planned"}, {"export", filepath.Join(dir, "x.json")},
		{"import", filepath.Join(dir, "backup.db")}, {"backup", filepath.Join(dir, "y.db")},
	} {
		code, out, errs := tawny(t, append(append([]string{"book"}, args...), "--book", file)...)
		if code != exitInput || out != "" || !strings.Contains(errs, "damaged") {
			t.Errorf("%v: exit %d: %s%s", args, code, out, errs)
		}
		if now, err := os.ReadFile(file); err != nil || !bytes.Equal(now, cut) {
			t.Fatalf("%v: the damaged book was changed", args)
		}
	}
	kept := fromJSON[job.BookRestored](t, run("restore", backup, "--json")).KeptAs
	if now, err := os.ReadFile(kept); err != nil || !bytes.Equal(now, cut) {
		t.Errorf("the damaged book was not kept: %v", err)
	}
	if out := run("list", "clients"); !strings.Contains(out, bookedDancer) {
		t.Errorf("restored: %s", out)
	}
}

// Requests that make no sense to the book: one line, exit code 2, and no book
// made or changed.
func TestBookRefusals(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	run("save", "--skin", "tan", "--part", "pale gold=2")
	before := run("list", "--json")
	for _, line := range []string{
		"list nosuch", "list batches more", "show batch", "show batch x", "show batch 99", "show client nosuch", "nosuch", "add nosuch",
		"add client", "add client|Dancer Ada (demo)", "add client| ",
		"add lot G-0117 --powder bronze", "add lot G-0117 --powder|pale gold|--grams 3", "add lot X --grams 3", "add lot X --powder nosuch --grams 3", "add lot X --powder bronze --grams -3",
		"add lot X --powder bronze --grams 3 --expires 2026-02-30", "add lot X --powder bronze --grams 3 --strength -1",
		"add powder nosuch", "add powder bronze", "add powder nosuch --source magic",
		"add reading lab:64,11,14", "add reading lab:64,11 --client 1", "add reading lab:64,11,14 --client 9", "add reading lab:64,11,14 --client 1 --on tomorrow",
		"add reading lab:64,11,14 --client 1 --how nosuch", "add reading lab:64,11,14 --lot nosuch", "add reading lab:64,11,14@A/10 --batch 1 --seen jar",
		"add skin nosuch", "add photo nosuch.jpg --batch 1", "add photo book_test.go --batch 1", "add photo book_test.go",
		"save", "save --skin tan", "save --skin tan --part bronze=1 --rank 2", "save --skin tan --target skin:1,1,1 --rank 0", "save --skin tan --part bronze=1 --client nobody",
		"save --skin tan --part bronze=1 --lot bronze", "save --skin tan --part bronze=1 --lot copper=C-1", "save --client nobody --target skin:1,1,1", "save --skin tan --part bronze=1 --format nosuch",
		"weigh", "weigh x", "weigh 99 --as-planned", "weigh 1", "weigh 1 nosuch=3", "weigh 1|pale gold=-1", "weigh 1|pale gold=NaN", "weigh 1|pale gold=1|pale gold=2", "weigh 1|pale gold", "weigh 1 --as-planned --on nosuch", "weigh 1 --lot|pale gold=G-0245",
		"mend-record 1", "mend-record 99 --add bronze=1", "mend-record 1 --add bronze=x", "mend-record 1 --add stardust=0.2", "mend-record 1 --add bronze=1 --add bronze=2", "mend-record 1 --add bronze=1 --measured nosuch", "mend-record 1 --add bronze=1 --how magic --measured lab:50,10,10",
		"again", "again x", "again 99", "again 1 --grams 5 --containers 2", "again 1 --skin nosuch",
		"stock nosuch", "count G-0117", "count G-0117 x", "count G-0117 -1", "count nosuch 3", "uses nosuch", "uses", "move G-0117 3", "move G-0117 3 --why counted", "move G-0117 -3 --why spilt", "move nosuch 3 --why spilt",
		"edit batch 1", "edit batch 99 --note x", "edit nosuch 1 --note x", "edit client 1 --name|",
		"client nosuch", "forget nosuch --yes", "forget", "delete client 1", "delete lot 1", "delete reading 99",
		"export", "export .", "import nosuch.json", "import book_test.go", "backup .", "restore nosuch.db", "restore book_test.go", "check extra",
	} {
		// A | joins words with spaces in them.
		var args []string
		for i, part := range strings.Split(line, "|") {
			if i > 0 && !strings.HasPrefix(part, "--") {
				args = append(args, part)
			} else {
				args = append(args, strings.Fields(part)...)
			}
		}
		code, out, errs := tawny(t, append(append([]string{"book"}, args...), "--book", file)...)
		if code != exitInput || out != "" || strings.Count(errs, "\n") != 1 {
			t.Errorf("tawny book %s: exit %d, want %d and one line on standard error, got %q and %q", line, code, exitInput, errs, out)
		}
	}
	if after := run("list", "--json"); after != before {
		t.Errorf("a refusal wrote something:\n%s\n%s", before, after)
	}
	// A slip in the book's name makes no new book, and neither does a refusal.
	slip := filepath.Join(t.TempDir(), "slip.db")
	for _, args := range [][]string{{"list"}, {"stock"}, {"uses", "G-0117"}, {"check"}, {"weigh", "1", "--as-planned"}, {"client", "1"}, {"export", "x.json"},
		{"import", "book_test.go"}, {"add", "client", " "}, {"save", "--skin", "tan", "--target", "nosuch"}, {"save", "--client", "nobody", "--target", "skin:1,1,1"}} {
		code, _, errs := tawny(t, append(append([]string{"book"}, args...), "--book", slip)...)
		if _, err := os.Stat(slip); code != exitInput || err == nil {
			t.Errorf("%v: exit %d, %s; made a book: %v", args, code, errs, err == nil)
		}
	}
}

// Every list and every record has words of its own.
func TestBookShowsEveryKind(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	run("save", "--client", bookedDancer, "--part", "pale gold=2", "--target", "skin:3,4,6")
	run("weigh", "1", "--as-planned")
	run("mend-record", "1", "--add", "bronze=0.2", "--how", "by eye", "--weighed")
	run("add", "skin", "lab:64.1,11.3,14.4", "--name", "house light (demo)")
	picture := filepath.Join(t.TempDir(), "jar")
	mustRun(t, "card", "--skin", "tan", "--part", "bronze=1", "--out", picture)
	run("add", "photo", filepath.Join(picture, "card.png"), "--batch", "1")
	for kind, word := range map[string]string{
		"powder": "pale gold", "lot": "G-0117", "movement": "bought", "client": bookedDancer, "reading": "inner forearm",
		"skin": "house light", "blend": "Predicted", "batch": "weighed", "correction": "bronze", "photo": "image/png",
	} {
		if out := run("show", kind, "1"); !strings.Contains(out, word) {
			t.Errorf("show %s 1 does not say %q:\n%s", kind, word, out)
		}
		if out := run("list", kind); len(strings.TrimSpace(out)) == 0 || strings.HasPrefix(out, "No ") {
			t.Errorf("list %s: %s", kind, out)
		}
	}
	if out := run("edit", "batch", "1", "--name", "Gala gold (demo)", "--note", "liked by all"); !strings.Contains(out, "Gala gold") || !strings.Contains(out, "liked by all") {
		t.Errorf("edit: %s", out)
	}
	if out := run("list", "fits"); out != "No fits in the book.\n" {
		t.Errorf("list fits: %s", out)
	}
	if code, out, errs := tawny(t, "book", "delete", "batch", "1", "--book", file); code != exitInput || out != "" || !strings.Contains(errs, "batch 1: it was weighed") {
		t.Errorf("a batch that was weighed: exit %d: %s%s", code, out, errs)
	}
	if code, out, errs := tawny(t, "book", "delete", "reading", "2", "--book", file); code != exitInput || out != "" || !strings.Contains(errs, bookedDancer) || !strings.Contains(errs, "--yes") {
		t.Errorf("delete without a second yes: exit %d: %s%s", code, out, errs)
	}
	if out := run("show", "reading", "2"); !strings.Contains(out, "Reading 2") {
		t.Errorf("it went before it was said: %s", out)
	}
	if out := run("delete", "reading", "2", "--yes"); !strings.Contains(out, "reading 2") {
		t.Errorf("delete: %s", out)
	}
	if out := run("client", bookedDancer); !strings.Contains(out, "The mean of 2 readings at 2 places") || !strings.Contains(out, "Batches") {
		t.Errorf("client: %s", out)
	}
}

// A backup is named from the folder the maker stands in.
func TestRestoreByRelativeName(t *testing.T) {
	file, run := bookAt(t)
	t.Chdir(filepath.Dir(file))
	run("backup", "kept.db")
	run("delete", "reading", "3", "--yes")
	run("restore", "kept.db")
	run("export", "kept.json", "--clients")
	mustRun(t, "book", "import", "kept.json", "--book", "new.db")
	if out := run("list", "readings"); !strings.Contains(out, "shoulder") {
		t.Errorf("the reading is not back: %s", out)
	}
}
