package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"tawny/cmd/tawny/job"
)

// Labels of a batch in the book are of what is in it: what was weighed and not
// planned, the sooner of its lots' last days, its day and its code, else its number;
// containers may be given anew, a code not.
func TestLabelsOfABookedBatch(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "book.db")
	book := func(args ...string) { mustRun(t, append(append([]string{"book"}, args...), "--book", file)...) }
	book("add", "lot", "G-1", "--powder", "pale gold", "--grams", "50", "--expires", "2026-10-31", "--yes")
	book("add", "lot", "U-1", "--powder", "ultramarine blue", "--grams", "50", "--expires", "2029-03-31")
	book("save", "--skin", "tan", "--part", "pale gold=2", "--part", "ultramarine blue=1", "--containers", "3", "--ml", "50", "--title", "House blue (demo)")
	labels := func(args ...string) job.LabelsResult {
		return fromJSON[job.LabelsResult](t, mustRun(t, append([]string{"labels", "--batch", "1", "--book", file, "--json"}, args...)...))
	}
	if r := labels(); r.Count != 3 || !strings.Contains(strings.Join(r.Notes, " "), "planned and not made") {
		t.Errorf("planned: %+v", r)
	}
	book("weigh", "1", "--as-planned", "--on", "2026-08-03")
	r := labels()
	if lines := strings.Join(r.Lines, "\n"); !strings.Contains(lines, "Batch: 1\n") || !strings.Contains(lines, "end of: 10/2026") || strings.Contains(strings.Join(r.Notes, " "), "planned") {
		t.Errorf("made: %q %q", r.Lines, r.Notes)
	}
	if !strings.Contains(r.Ingredients, "CI 77007") || strings.Contains(r.Ingredients, "CI 77492") {
		t.Error(r.Ingredients)
	}
	// A code is the batch's, on labels, sheet and list, and none is printed that it does not bear.
	if code, _, errs := tawny(t, "labels", "--batch", "1", "--code", "HB-1", "--book", file); code != exitInput || !strings.Contains(errs, "batch 1 bears 1, by which a recall finds it: 'tawny book edit batch 1 --code HB-1'") {
		t.Errorf("a code on labels alone: %d %s", code, errs)
	}
	book("edit", "batch", "1", "--code", "HB-1")
	if sheet, list := mustRun(t, "batch", "--batch", "1", "--book", file), mustRun(t, "book", "list", "batches", "--book", file); !strings.Contains(sheet, "Batch code HB-1,") || !strings.Contains(sheet, "Lot: HB-1") || !strings.Contains(list, "code HB-1") {
		t.Errorf("the code is not kept: %s\n%s", list, sheet)
	}
	if code, _, errs := tawny(t, "book", "edit", "batch", "1", "--code", "HB-2", "--book", file); code != exitInput || !strings.Contains(errs, "--yes writes another code over HB-1, which bottles of batch 1 may bear") {
		t.Errorf("another code: %d %s", code, errs)
	}
	// A mending is in it too.
	book("mend-record", "1", "--how", "by eye", "--add", "yellow oxide=0.4", "--weighed")
	if r := labels("--containers", "7"); r.Count != 7 || r.Net != "50 ml" {
		t.Errorf("more of the same containers: %+v", r)
	}
	if r := labels("--containers", "9", "--ml", "15"); r.Count != 9 || !strings.Contains(r.Ingredients, "CI 77492") || !strings.Contains(strings.Join(r.Lines, "\n"), "Batch: HB-1") {
		t.Errorf("mended: %+v", r)
	}
	for flag, value := range map[string]string{"--part": "bronze=1", "--skin": "tan", "--grams": "50", "--samples": "1"} {
		if code, _, errs := tawny(t, "labels", "--batch", "1", "--book", file, flag, value); code != exitInput || !strings.Contains(errs, "known of a batch in the book") {
			t.Errorf("%s: %d %s", flag, code, errs)
		}
	}
}

// A powder leaves a drawer at a second yes, and nothing else of the file changes.
func TestDrawerRemove(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "drawer.csv")
	for name, like := range map[string]string{"fair gold": "gold", "my red": "red oxide"} {
		mustRun(t, "drawer", "add", "--name", name, "--like", like, "--drawer", file)
	}
	read := func() string {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	before := read()
	if code, _, errs := tawny(t, "drawer", "remove", "MY RED", "--drawer", file); code != exitInput || !strings.Contains(errs, "--yes takes my red out of") || read() != before {
		t.Errorf("without yes: %d %s", code, errs)
	}
	r := fromJSON[job.DrawerRemoved](t, mustRun(t, "drawer", "remove", "my red", "--drawer", file, "--yes", "--json"))
	if r.Powder != "my red" || r.Spectrum != "my-red.csv" || strings.Replace(before, r.Row+"\n", "", 1) != read() || read() == before {
		t.Errorf("%+v\n%s", r, read())
	}
	if code, _, errs := tawny(t, "drawer", "remove", "my red", "--drawer", file, "--yes"); code != exitInput || !strings.Contains(errs, "not in the drawer") {
		t.Errorf("what is gone: %d %s", code, errs)
	}
	// With the last one its file goes: there is no drawer of none.
	mustRun(t, "drawer", "remove", "fair gold", "--drawer", file, "--yes")
	if _, err := os.Stat(file); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the drawer is still there: %v", err)
	}
	if code, _, errs := tawny(t, "drawer", "remove", "pale gold", "--yes"); code != exitInput || !strings.Contains(errs, "built-in drawer") {
		t.Errorf("built-in: %d %s", code, errs)
	}
}

// Where no drawer is named a job says once whose powders it took, in words and in
// JSON, and nothing where the demo or a drawer was asked for.
func TestWhosePowdersTheyAre(t *testing.T) {
	t.Parallel()
	drawer := filepath.Join(t.TempDir(), "drawer.csv")
	mustRun(t, "drawer", "add", "--name", "bronze", "--like", "bronze", "--drawer", drawer)
	for _, c := range []struct {
		says bool
		args []string
	}{
		{true, []string{"batch", "--skin", "tan", "--part", "bronze=1"}},
		{false, []string{"batch", "--demo", "--part", "bronze=1"}},
		{false, []string{"batch", "--skin", "tan", "--part", "bronze=1", "--drawer", drawer}},
		{false, []string{"base", "check", "Everyday lotion"}},
	} {
		_, out, errs := tawny(t, c.args...)
		if strings.Contains(out, "--drawer") || strings.Contains(errs, "built-in demo drawer; --drawer") != c.says {
			t.Errorf("%q: %q", c.args, errs)
		}
		_, out, errs = tawny(t, append(c.args, "--json")...)
		if strings.Contains(out, "\n  \"drawer\": \"from the built-in") != c.says || errs != "" {
			t.Errorf("%q as JSON: %q", c.args, errs)
		}
	}
}

// What was weighed is what the limits are held to: a preservative over its own, or left
// out, is told as it is written down and makes the label a draft; one added with more of
// the base counts.
func TestPreservativeAsWeighed(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	file, base := filepath.Join(dir, "book.db"), filepath.Join(dir, "mine.csv")
	mustRun(t, "base", "add", "Mine", "water 75.2, glycerin 4, emulsifier (Cetearyl Alcohol=80; Ceteareth-20=20) 5, squalane 15, phenoxyethanol 0.8\npH 5", "--file", base)
	book := func(args ...string) string {
		return mustRun(t, append(append([]string{"book"}, args...), "--book", file)...)
	}
	book("save", "--skin", "tan", "--part", "pale gold=2", "--base", base, "--grams", "500")
	for _, c := range []struct{ weighed, says string }{
		{"phenoxyethanol=4", ""},
		{"phenoxyethanol=5.9", "Phenoxyethanol is 1.176 %; at most 1 % is allowed"}, // 5.9 of 501.9 g
		{"phenoxyethanol=0", "no preservative"},
		{"phenoxyethanol=0.4", "under its usual minimum"},
	} {
		told := flat(book("weigh", "1", "--as-planned", c.weighed, "--yes"))
		if strings.Contains(told, "To mend first") != (c.says != "") || !strings.Contains(told, c.says) {
			t.Errorf("%s: %s", c.weighed, told)
		}
		r := fromJSON[job.LabelsResult](t, mustRun(t, "labels", "--batch", "1", "--containers", "4", "--ml", "50", "--book", file, "--json"))
		if draft := strings.Join(r.Draft, "; "); strings.Contains(draft, "to mend") != (c.says != "") || strings.Contains(r.Ingredients, "Phenoxyethanol") == (c.weighed == "phenoxyethanol=0") {
			t.Errorf("%s: %q %s", c.weighed, draft, r.Ingredients)
		}
	}
}

// What was not weighed is not in a finished batch: its weight is held against what went in,
// no water makes up for it, and the labels are a draft of what is there.
func TestAFinishedBatchIsWithoutWhatWasNotWeighed(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	file, base := filepath.Join(dir, "book.db"), filepath.Join(dir, "mine.csv")
	run := flatOf(t, file)
	mustRun(t, "base", "add", "Mine", "water 75.2, glycerin 4, emulsifier (Cetearyl Alcohol=80; Ceteareth-20=20) 5, squalane 15, phenoxyethanol 0.8\npH 5", "--file", base)
	run("book", "save", "--skin", "tan", "--part", "pale gold=2", "--base", base, "--grams", "500")
	if code, _, errs := tawny(t, "book", "weigh", "1", "--made", "500", "--book", file); code != exitInput || !strings.Contains(errs, "writes 500.00 g made, and 0.00 g went into it, without water,") {
		t.Errorf("made of nothing: %d %s", code, errs)
	}
	run("book", "weigh", "1", "--as-planned")
	if out := run("labels", "--batch", "1"); strings.Contains(out, "DRAFT: not weighed") {
		t.Errorf("all is weighed: %s", out)
	}
	run("book", "weigh", "1", "phenoxyethanol=none")
	if out := run("labels", "--batch", "1"); !strings.Contains(out, "DRAFT: not weighed: phenoxyethanol") || !strings.Contains(out, "Phenoxyethanol,") {
		t.Errorf("still to weigh: %s", out)
	}
	told := run("book", "weigh", "1", "--made", "496")
	for _, want := range []string{"The batch weighs 496.00 g. Not weighed: phenoxyethanol, 4.00 g as planned. Was that left out? Until", "no preservative"} {
		if !strings.Contains(told, want) || strings.Contains(told, "Stir in") {
			t.Errorf("no %q, or water: %s", want, told)
		}
	}
	if out := run("labels", "--batch", "1"); !strings.Contains(out, "DRAFT: not weighed: phenoxyethanol") || strings.Contains(out, "Phenoxyethanol,") {
		t.Errorf("left out: %s", out)
	}
	if out := run("batch", "--batch", "1"); !strings.Contains(out, "STOP: There is water and no preservative") || !strings.Contains(out, "DRAFT: not weighed: phenoxyethanol") {
		t.Errorf("its sheet: %s", out)
	}
	// No powder is no reason to look for other powders.
	run("book", "weigh", "1", "phenoxyethanol=4", "pale gold=none", "--made", "490")
	if out := run("labels", "--batch", "1"); !strings.Contains(out, "DRAFT: not weighed: pale gold") || strings.Contains(out, "Mica") {
		t.Errorf("without its powder: %s", out)
	}
}

// A lotion that lost water on the way is held to its limits in the weight it has, and is
// right again once the water is stirred in; in an oil what was lost took its share of all.
func TestLimitsAreOfTheWeightMade(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	file, base := filepath.Join(dir, "book.db"), filepath.Join(dir, "mine.csv")
	run := flatOf(t, file)
	mustRun(t, "base", "add", "Mine", "water 75, glycerin 4, emulsifier (Cetearyl Alcohol=80; Ceteareth-20=20) 5, squalane 15, phenoxyethanol 1\npH 5", "--file", base)
	run("book", "save", "--skin", "tan", "--part", "pale gold=3", "--base", base, "--grams", "400")
	run("book", "save", "--skin", "tan", "--part", "pale gold=3", "--base", "silk-body-oil", "--grams", "400")
	run("book", "weigh", "1", "--as-planned")
	run("book", "weigh", "2", "--as-planned")
	for _, c := range []struct{ batch, made, of, limit string }{
		{"1", "360", "3.33 % of the 360.00 g", "Phenoxyethanol is 1.111 %; at most 1 % is allowed"}, // 4 g of 360 g
		{"1", "390", "3.08 % of the 390.00 g", "Phenoxyethanol is 1.026 %; at most 1 % is allowed"},
		{"1", "399.7", "3.00 % of the 399.70 g", ""}, // as near as a balance tells
		{"1", "400", "3.00 % of the 400.00 g", ""},
		{"2", "360", "3.00 % of the 360.00 g", ""},
	} {
		told, labels, sheet := run("book", "weigh", c.batch, "--made", c.made), run("labels", "--batch", c.batch), run("batch", "--batch", c.batch)
		for _, said := range []string{told, sheet} {
			if !strings.Contains(said, c.limit) || c.limit == "" && strings.Contains(said, "at most 1 % is allowed") {
				t.Errorf("%s g, not %q: %s", c.made, c.limit, said)
			}
		}
		if strings.Contains(sheet, "As it stands it is "+c.made+".00 g") != (c.made[0] == '3' && c.made != "399.7") {
			t.Errorf("%s g: %s", c.made, sheet)
		}
		if !strings.Contains(told, "400.00 g in all; the powders are "+c.of+" that it weighs") {
			t.Errorf("%s g: %s", c.made, told)
		}
		if strings.Contains(labels, "DRAFT: to mend before it is sold: phenoxyethanol") != (c.limit != "") {
			t.Errorf("%s g: %s", c.made, labels)
		}
	}
}

// A preservative weighed short is to be weighed up to its share before anything else, and
// neither it nor one still to come is ever left as planned where the batch is then
// another: what the checks say of that batch decides.
func TestAShortWeightIsMadeUp(t *testing.T) {
	t.Parallel()
	const keeper = "Benzyl alcohol and dehydroacetic acid"
	file := filepath.Join(t.TempDir(), "book.db")
	book := func(args ...string) string {
		return flat(mustRun(t, append(append([]string{"book"}, args...), "--book", file)...))
	}
	for range 3 {
		book("save", "--skin", "tan", "--part", "bronze=2", "--grams", "500")
	}
	const more, leave, cannot, mend = "Weigh 4.05 g more of " + keeper, "Or leave what is still to weigh as planned", "cannot stay as planned, because of: " + keeper, "To mend first: " + keeper
	for _, c := range []struct {
		weigh     []string
		says, not []string
	}{
		{[]string{"1", keeper + "=0.45"}, []string{more + " first. Or to keep", cannot, mend}, []string{leave}},
		{[]string{"1", "--as-planned"}, []string{more + ".", mend}, []string{leave, "Or to keep"}},
		{[]string{"1", "--made", "495.5"}, []string{mend}, []string{more}}, // it is finished
		{[]string{"1", "--made", "495.5", keeper + "=4.5"}, nil, []string{more, mend}},
		{[]string{"2", "Purified water=420"}, []string{"To keep the proportions weigh 23.53 g of Glycerin", cannot}, []string{leave, "more of"}},
		{[]string{"2", "Purified water=365"}, []string{leave}, []string{"cannot"}},
		{[]string{"3", "--as-planned", "bronze=none"}, nil, []string{leave, cannot}},
		{[]string{"3", "Glycerin=none", "bronze=15"}, []string{leave}, []string{cannot}},                         // past its preservative already
		{[]string{"3", "Purified water=300"}, []string{"Purified water: 300.00 g weighed"}, []string{"more of"}}, // the rest has cooled
	} {
		told := book(append([]string{"weigh", "--yes"}, c.weigh...)...)
		for _, want := range c.says {
			if !strings.Contains(told, want) {
				t.Errorf("%q does not say %q: %s", c.weigh, want, told)
			}
		}
		for _, not := range c.not {
			if strings.Contains(told, not) {
				t.Errorf("%q says %q: %s", c.weigh, not, told)
			}
		}
	}
}

// What is weighed from a lot that is held back is asked about, and the batch's sheet,
// labels and record say it until it is held no more.
func TestALotHeldBackIsToldOf(t *testing.T) {
	t.Parallel()
	const held = "lot NEW of bronze is held back: recalled by the supplier: lead"
	file := filepath.Join(t.TempDir(), "book.db")
	run := flatOf(t, file)
	asked := func(args ...string) {
		t.Helper()
		before := run("book", "show", "batch", "1")
		code, _, errs := tawny(t, append(args, "--book", file)...)
		if code != exitInput || !strings.Contains(errs, "--yes weighs bronze from lot NEW, which is held back: recalled") || run("book", "show", "batch", "1") != before {
			t.Errorf("%q: %d %s", args, code, errs)
		}
	}
	run("book", "add", "lot", "OLD", "--powder", "bronze", "--grams", "50")
	run("book", "add", "lot", "NEW", "--powder", "bronze", "--grams", "50")
	run("book", "save", "--skin", "tan", "--part", "bronze=2", "--grams", "100", "--lot", "bronze=NEW")
	run("book", "save", "--skin", "tan", "--part", "bronze=2", "--grams", "100", "--lot", "bronze=OLD")
	run("book", "edit", "lot", "NEW", "--held", "recalled by the supplier: lead")
	asked("book", "weigh", "1", "--as-planned")
	asked("book", "weigh", "2", "--as-planned", "--lot", "bronze=NEW")
	run("book", "weigh", "1", "--as-planned", "--lot", "bronze=OLD", "--on", "2026-08-03")
	// One mended from it holds it too, a first lot of the powder before it or not.
	add := []string{"book", "mend-record", "1", "--how", "by eye", "--add", "bronze=0.4", "--lot", "bronze=NEW"}
	asked(add...)
	run(append(add, "--yes")...)
	asked("book", "weigh", "--correction", "1", "bronze=0.4")
	for _, c := range []struct{ stop, draft string }{{"STOP: " + held, "DRAFT: to mend before it is sold: lot NEW"}, {}} {
		for said, want := range map[string]string{
			run("batch", "--batch", "1"): c.stop, run("labels", "--batch", "1"): c.draft,
			run("book", "show", "batch", "1"): strings.TrimPrefix(c.stop, "STOP: "), run("mend", "--batch", "1", "--looks", "too sparkly"): strings.TrimPrefix(c.stop, "STOP: "),
		} {
			if !strings.Contains(said, want) || want == "" && strings.Contains(said, "held back") {
				t.Errorf("%q is not there: %s", want, said)
			}
		}
		if out := run("batch", "--batch", "2"); strings.Contains(out, "held back") {
			t.Errorf("another batch: %s", out)
		}
		run("book", "edit", "lot", "NEW", "--held", "")
	}
	run("book", "weigh", "--correction", "1", "bronze=0.4")
}

// So is what is made again or weighed from a lot past its day: by the day it is weighed,
// which decides what sheet, labels and record say after.
func TestALotPastItsDayIsToldOf(t *testing.T) {
	t.Parallel()
	const late = "lot LATE of bronze is past its day, 2001-01-31"
	file := filepath.Join(t.TempDir(), "book.db")
	run := flatOf(t, file)
	asked := func(says string, args ...string) {
		t.Helper()
		before := run("book", "list", "batches")
		if code, _, errs := tawny(t, append(args, "--book", file)...); code != exitInput || !strings.Contains(errs, says) || run("book", "list", "batches") != before {
			t.Errorf("%q: %d %s", args, code, errs)
		}
	}
	run("book", "add", "lot", "GOOD", "--powder", "bronze", "--grams", "50")
	run("book", "add", "lot", "LATE", "--powder", "bronze", "--grams", "50", "--expires", "2001-01-31", "--yes")
	run("book", "save", "--skin", "tan", "--part", "bronze=2", "--grams", "100")
	asked("--yes writes a batch although "+late, "book", "again", "1", "--lot", "bronze=LATE")
	if out := run("book", "again", "1", "--lot", "bronze=LATE", "--yes"); !strings.Contains(out, "To mend first: "+late) {
		t.Errorf("made again: %s", out)
	}
	asked("--yes weighs bronze from lot LATE, which is past its day", "book", "weigh", "2", "--as-planned")
	for _, c := range []struct {
		on, before string
		late       bool
	}{{"2001-02-01", "2001-01-31", true}, {"2001-01-31", "2001-01", false}} {
		run("book", "weigh", "2", "--as-planned", "bronze=2", "--yes", "--on", c.on)
		for said, want := range map[string]string{
			run("batch", "--batch", "2"): "STOP: " + late, run("labels", "--batch", "2"): "DRAFT: to mend before it is sold: lot LATE", run("book", "show", "batch", "2"): late,
		} {
			if strings.Contains(said, want) != c.late {
				t.Errorf("weighed on %s, is %q there: %s", c.on, want, said)
			}
		}
		if out := run("batch", "--batch", "2"); !strings.Contains(out, "best before end of "+c.before+" (its oldest lot is good until 2001-01-31)") {
			t.Errorf("weighed on %s: %s", c.on, out)
		}
	}
}

// A finished batch that weighs more than went in, by more than its pot's balance can be
// off, is asked about once.
func TestMoreMadeThanWentIn(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "book.db")
	mustRun(t, "book", "save", "--skin", "tan", "--part", "bronze=2", "--grams", "400", "--book", file)
	mustRun(t, "book", "weigh", "1", "--as-planned", "--book", file)
	weigh := func(code int, args ...string) {
		t.Helper()
		if got, _, errs := tawny(t, append([]string{"book", "weigh", "1", "--book", file}, args...)...); got != code || code != 0 && !strings.Contains(errs, "and 400.00 g went into it") {
			t.Errorf("%q: %d %s", args, got, errs)
		}
	}
	weigh(0, "--made", "401.9")
	weigh(exitInput, "--made", "402.1")
	weigh(exitInput, "--made", "410")
	weigh(0, "--made", "410", "--yes")
	weigh(0, "--reading", "pH=5") // of another thing
	// What was written of another batch is taken back, and one of which nothing was weighed is planned again.
	weigh(0, "--made", "none")
	if said := mustRun(t, "book", "show", "batch", "1", "--book", file); strings.Contains(said, "Made g") || strings.Contains(said, "410") || !strings.Contains(said, "Made on") {
		t.Errorf("%s", said)
	}
	mustRun(t, "book", "save", "--skin", "tan", "--part", "bronze=2", "--grams", "300", "--base", "Silk body oil", "--book", file)
	mustRun(t, "book", "weigh", "2", "--made", "100", "--yes", "--book", file)
	mustRun(t, "book", "weigh", "2", "--made", "none", "--book", file)
	if said := mustRun(t, "book", "show", "batch", "2", "--book", file); !strings.Contains(said, "planned, not weighed yet") {
		t.Errorf("%s", said)
	}
	// Nothing dries off an oil.
	mustRun(t, "book", "weigh", "2", "--as-planned", "--book", file)
	if code, _, errs := tawny(t, "book", "weigh", "2", "--made", "215", "--book", file); code != exitInput || !strings.Contains(errs, "and 300.00 g went into it") {
		t.Errorf("%d %s", code, errs)
	}
	mustRun(t, "book", "weigh", "2", "--made", "285", "--book", file)
}

// The number of iron oxides that a jar does not give is assumed and said so, in the
// drawer and on the Union's label, until it is given; the US one bears no number.
func TestAnAssumedNumberIsSaid(t *testing.T) {
	t.Parallel()
	drawer := filepath.Join(t.TempDir(), "mine.csv")
	out := mustRun(t, "drawer", "add", "--name", "ir", "--inci", "Mica, Titanium Dioxide, Iron Oxides", "--size", "10-60", "--colour", "rose", "--drawer", drawer)
	if !strings.Contains(out, "CI 77491 is assumed") {
		t.Errorf("%s", out)
	}
	draft := func(market string) string {
		return strings.Join(fromJSON[job.LabelsResult](t, mustRun(t, "labels", "--drawer", drawer, "--part", "ir=3", "--containers", "8", "--ml", "50", "--market", market, "--json")).Draft, "; ")
	}
	const said = "CI 77491 is assumed of the iron oxides in ir, whose jar gives no number"
	if eu, us := draft("eu"), draft("us"); !strings.Contains(eu, said) || strings.Contains(us, "assumed") {
		t.Errorf("eu %q, us %q", eu, us)
	}
	mustRun(t, "drawer", "edit", "ir", "--density", "3.1", "--drawer", drawer)
	if eu := draft("eu"); !strings.Contains(eu, said) {
		t.Errorf("%q once something else is put right", eu)
	}
	if code, _, errs := tawny(t, "drawer", "edit", "ir", "--ci", "rose", "--drawer", drawer); code != exitInput || !strings.Contains(errs, "no colour index number") {
		t.Errorf("exit %d, %s", code, errs)
	}
	rows, err := os.ReadFile(drawer)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(drawer, bytes.Replace(rows, []byte("77491~"), []byte("red~"), 1), 0o644); err != nil {
		t.Fatal(err)
	}
	if eu := draft("eu"); !strings.Contains(eu, "CI red is assumed of what is in ir") {
		t.Errorf("%q of a number that is none", eu)
	}
	mustRun(t, "drawer", "edit", "ir", "--ci", "77019/77891/77491, 77492", "--drawer", drawer)
	if eu := draft("eu"); strings.Contains(eu, "assumed") {
		t.Errorf("%q once the numbers are given", eu)
	}
}

// What sets the pH has no line: it is written beside the lines, and goes onto the labels.
// Where a pH that was outside came right with nothing written, the labels are a draft.
func TestWhatSetsThePH(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "book.db")
	run := flatOf(t, file)
	run("book", "save", "--skin", "tan", "--part", "bronze=2", "--grams", "500", "--base",
		"recipe:oil phase: sunflower oil 20\nemulsifying wax 6\nwater phase: water to 100\nglycerin 3\ncool: phenoxyethanol 0.9\nethylhexylglycerin 0.1\npH 4.5-5.5")
	run("book", "weigh", "1", "--as-planned", "--reading", "pH=6.1", "--yes")
	const open = "It was 6.1 and is 5.3, and what was put in to set it is not written down"
	if said := run("book", "weigh", "1", "--reading", "pH=5.3"); !strings.Contains(said, open) {
		t.Errorf("%s", said)
	}
	if said := run("labels", "--batch", "1"); !strings.Contains(said, open) || !strings.Contains(said, "what set the pH") || strings.Contains(said, "Citric") {
		t.Errorf("%s", said)
	}
	for item, says := range map[string]string{"moondust=1": "not known", "glycerin=1": "no line of its own", "glycerol=1": "that is its line ", "aqua=4": "what the pot then weighs, --made", "distilled water=4": "what the pot then weighs, --made"} {
		if code, _, errs := tawny(t, "book", "weigh", "1", "--put", item, "--book", file); code != exitInput || !strings.Contains(errs, says) {
			t.Errorf("%s: %d %s", item, code, errs)
		}
	}
	if said := run("book", "weigh", "1", "--put", "citric acid=0.4"); !strings.Contains(said, "citric acid 0.00 g planned 0.40 g weighed") || strings.Contains(said, open) {
		t.Errorf("%s", said)
	}
	if said := run("labels", "--batch", "1"); !strings.Contains(said, "Citric Acid") || strings.Contains(said, open) {
		t.Errorf("%s", said)
	}
	if said := run("batch", "--batch", "1"); !strings.Contains(said, "Put in beside its lines: 0.40 g of citric acid.") {
		t.Errorf("%s", said)
	}
	if said := run("book", "weigh", "1", "citric acid=none"); !strings.Contains(said, open) {
		t.Errorf("%s", said)
	}
	if said := run("batch", "--batch", "1"); strings.Contains(said, "citric acid") {
		t.Errorf("the sheet still has what was taken back: %s", said)
	}
	// Nothing put in is no line, and stands in no later one's way; a solution's water is
	// none of the acid; more of the same, by whatever name, is counted with it.
	for _, c := range []struct{ put, says, list string }{
		{"lactic acid 80 %=0", "Nothing is put in of lactic acid 80 %", ""},
		{"citric acid 20 %=0.3", "citric acid 20 % put in: 0.30 g in all;", "Citric Acid"},
		{"20% citric acid solution=0.2", "0.50 g in all, with the 0.30 g before", "Citric Acid"},
		{"citric acid 20 %=none", "citric acid 20 % is taken out again, 0.50 g", ""},
		{"lactic acid 80 %=0.3", "lactic acid 80 % put in: 0.30 g in all;", "Lactic Acid"},
		{"lactic acid 80 %=none", "taken out again", ""},
		{"baking soda=0.1", "baking soda put in: 0.10 g", "Sodium Bicarbonate"},
		{"sodium bicarbonate=0", "0.10 g in all", "Sodium Bicarbonate"},
		{"sodium bicarbonate=none", "taken out again", ""},
		{"sodium hydroxide 10 %=0.2", "put in: 0.20 g", "Sodium Hydroxide"},
		{"sodium hydroxide 10 %=none", "taken out again", ""},
	} {
		said := run("book", "weigh", "1", "--put", c.put)
		if !strings.Contains(said, c.says) || strings.Contains(said, open) != (c.list == "") || strings.Contains(said, "0.00 g planned 0.00 g") {
			t.Errorf("%s: %s", c.put, said)
		}
		if said := run("labels", "--batch", "1"); c.list != "" && !strings.Contains(said, c.list) || strings.Contains(said, ", what set the pH Note") != (c.list == "") {
			t.Errorf("%s: %s", c.put, said)
		}
	}
	// Made again, it has no line either.
	run("book", "weigh", "1", "--put", "citric acid 20 %=0.3")
	if said := run("book", "again", "1"); !strings.Contains(said, "Last time 0.3 g of citric acid 20 % was put in beside its lines: measure the pH") || strings.Contains(said, "of lactic") {
		t.Errorf("%s", said)
	}
	run("book", "weigh", "1", "--put", "citric acid 20 %=none")
	// What was a slip is taken back first.
	run("book", "weigh", "1", "--reading", "pH=none")
	if said := run("book", "weigh", "1", "--reading", "pH=5.3"); strings.Contains(said, open) {
		t.Errorf("%s", said)
	}
	if said := run("book", "check"); !strings.Contains(said, "is sound") {
		t.Errorf("%s", said)
	}
}

// A card of a batch is of what is in it as mended, worn by whom it was made for, of
// powders as strong as the lots they came from; the client's has its list.
func TestCardOfABookedBatch(t *testing.T) {
	t.Parallel()
	file, book := bookAt(t)
	dir := t.TempDir()
	book("add", "lot", "A-1", "--powder", "pale gold", "--grams", "90", "--strength", "0.8")
	book("save", "--skin", "tan", "--part", "pale gold=3", "--lot", "pale gold=A-1", "--grams", "200")
	book("weigh", "1", "--as-planned")
	type card struct {
		Blend struct {
			Lab    []float64
			Blends []struct {
				Percent float64
				Pigment struct{ Name string }
			} `json:"parts"`
		}
	}
	draw := func(more ...string) (c card) {
		return fromJSON[card](t, mustRun(t, append([]string{"card", "--json", "--out", dir, "--book", file}, more...)...))
	}
	was, asked := draw("--batch", "1"), draw("--skin", "tan", "--part", "pale gold=3")
	for i := range asked.Blend.Lab { // 3 % were asked for; of this lot 3.75 % are as much
		if d := was.Blend.Lab[i] - asked.Blend.Lab[i]; d < -0.1 || d > 0.1 {
			t.Errorf("made as %v, asked for as %v", was.Blend.Lab, asked.Blend.Lab)
			break
		}
	}
	// Of another lot, which a batch written now would take, it is not.
	book("count", "A-1", "0", "--yes")
	book("add", "lot", "A-2", "--powder", "pale gold", "--grams", "90", "--strength", "0.6", "--yes")
	if now := draw("--batch", "1"); !reflect.DeepEqual(now, was) {
		t.Errorf("with another lot at hand %+v, before %+v", now, was)
	}
	book("mend-record", "1", "--add", "bronze=2", "--weighed")
	if mended := draw("--batch", "1", "--for", "client"); len(mended.Blend.Blends) != 2 || mended.Blend.Lab[1] <= was.Blend.Lab[1] {
		t.Errorf("mended %+v, before %+v", mended, was)
	}
	book("weigh", "1", "Benzyl alcohol and dehydroacetic acid=0", "--yes")
	if code, _, errs := tawny(t, "card", "--batch", "1", "--for", "client", "--out", dir, "--book", file); code != exitInput || !strings.Contains(errs, "nothing for a client") || !strings.Contains(errs, "no preservative") {
		t.Errorf("without its preservative: exit %d, %s", code, errs)
	}
	for _, bad := range [][]string{{"--part", "bronze=2"}, {"--kind", "skins"}, {"--load", "3"}, {"--rank", "2"}} {
		if code, _, errs := tawny(t, append([]string{"card", "--batch", "1", "--out", dir, "--book", file}, bad...)...); code != exitInput || !strings.Contains(errs, "--batch") {
			t.Errorf("%v: exit %d, %s", bad, code, errs)
		}
	}
}

// That a jar may be worn on the lips is no supplier's word where it follows from its
// ingredients: labels for there are a draft of it, until it is written down; and they are
// no body's.
func TestLipsByTheListAlone(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	drawer, base := filepath.Join(dir, "mine.csv"), filepath.Join(dir, "oil.csv")
	if out := mustRun(t, "drawer", "add", "--name", "rosy", "--inci", "Mica, Titanium Dioxide, Iron Oxides", "--ci", "77019, 77891, 77491", "--size", "10-60", "--colour", "rose", "--drawer", drawer); !strings.Contains(flat(out), "worn on eyes and lips follows from its ingredients alone") {
		t.Errorf("%s", out)
	}
	mustRun(t, "base", "add", "Balm oil", "castor oil 40, jojoba oil 59, vitamin E 1\nareas: body, lips", "--file", base)
	label := func(area, part string) (said string) {
		return flat(mustRun(t, "labels", "--drawer", drawer, "--part", part, "--containers", "8", "--ml", "10", "--base", base, "--area", area))
	}
	const open = "whether the jar of rosy is fit for the lips"
	if said := label("lips", "rosy=3"); !strings.Contains(said, open) || !strings.HasPrefix(said, "Shimmer lip oil") || strings.Contains(said, "body oil") || strings.Contains(said, "slippery") {
		t.Errorf("%s", said)
	}
	if said := label("body", "rosy=3"); strings.Contains(said, "fit for") || !strings.HasPrefix(said, "Shimmer body oil") || !strings.Contains(said, "slippery") {
		t.Errorf("%s", said)
	}
	mustRun(t, "drawer", "edit", "rosy", "--areas", "body, lips", "--drawer", drawer)
	if said := label("lips", "rosy=3"); strings.Contains(said, open) {
		t.Errorf("%s", said)
	}
	for _, area := range []string{"lip", "body, lips", "body;lips"} {
		if code, _, errs := tawny(t, "labels", "--drawer", drawer, "--part", "rosy=3", "--base", base, "--area", area); code != exitInput || !strings.Contains(errs, "body, eyes or lips") {
			t.Errorf("%s: exit %d, %s", area, code, errs)
		}
	}
}

// The day of a lot in the book goes before one that is said, where it is sooner, and that is told.
func TestTheSoonerOfTwoDays(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "book.db")
	ends := time.Now().AddDate(0, 6, 0).Format("2006-01")
	day := ends + "-20"
	mustRun(t, "book", "add", "lot", "G-1", "--powder", "pale gold", "--grams", "50", "--expires", day, "--book", file)
	for until, said := range map[string]bool{ends: true, ends + "-28": true, ends + "-20": false, ends + "-19": false} {
		for _, job := range []string{"labels", "batch"} {
			text := flat(mustRun(t, job, "--skin", "tan", "--part", "pale gold=2", "--grams", "100", "--lot-until", until, "--book", file))
			if strings.Contains(text, "Lot G-1 of pale gold is good until "+day+", and not until "+until) != said {
				t.Errorf("%s, %s: %s", job, until, text)
			}
		}
	}
}
