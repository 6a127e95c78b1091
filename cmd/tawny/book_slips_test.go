package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tawny/cmd/tawny/job"
)

// What looks like a slip is asked about and not written; a second yes writes it.
func TestBookSlips(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	run("save", "--skin", "tan", "--part", "pale gold=2", "--grams", "100")
	tomorrow := time.Now().AddDate(0, 0, 2).Format(time.DateOnly)
	for _, c := range []struct{ line, says string }{
		{"add lot R-1 --powder bronze --grams 20 --strength 90", "90 % is 0.9"},
		{"add lot R-2 --powder bronze --grams 20 --strength 0.09", "0.09 times"},
		{"add lot R-3 --powder bronze --grams 20 --received " + tomorrow, "still to come"},
		{"edit lot B-9 --strength 90", "90 % is 0.9"},
		{"edit lot B-9 --expires 2020-01", "2020-01-31, which is past"},
		{"count B-9 100", "of which 25.5 g came"},
		{"weigh 1 --as-planned --made 1000", "100.00 g went into it"},
		{"weigh 1 --as-planned --made 20", "100.00 g went into it"},
		{"weigh 1 --as-planned --on " + tomorrow, "still to come"},
		{"weigh 1 pale_gold=20", "10 times as much"},
		{"weigh 1 1=74.14", "1.04 times as much"}, // of 71.40 planned
		{"weigh 1 10=0.09", "digits in another order"},
		{"weigh 1 --reading oil=65", "70–75 °C is asked"},
		{"weigh 1 --reading pH=12", "4.8–5.2 is asked"},
	} {
		args := append([]string{"book"}, append(strings.Fields(c.line), "--book", file)...)
		for i := range args {
			args[i] = strings.ReplaceAll(args[i], "_", " ")
		}
		before := run("stock") + run("show", "batch", "1")
		code, out, errs := tawny(t, args...)
		if after := run("stock") + run("show", "batch", "1"); code != exitInput || out != "" || !strings.Contains(flat(errs), c.says) || after != before {
			t.Errorf("%s: exit %d: %s%s", c.line, code, out, errs)
		}
		mustRun(t, append(args, "--yes")...)
	}
	if code, _, errs := tawny(t, "book", "delete", "batch", "1", "--yes", "--book", file); code != exitInput || !strings.Contains(errs, "recall") {
		t.Errorf("a weighed batch: exit %d: %s", code, errs)
	}
	if out := run("uses", "G-0117") + run("uses", "G-0245"); !strings.Contains(out, "batch 1") {
		t.Errorf("the recall misses it: %s", out)
	}
}

// Acid goes in until the pH is right: less of it is no slip and moves no other line, more
// is asked about. Lines still to come may be left, and it is said what that makes.
func TestLessAcidIsNoSlip(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	run("save", "--skin", "tan", "--part", "pale gold=2", "--grams", "430")
	if out := run("weigh", "1", "Lactic acid 80 %=0.5"); strings.Contains(out, "proportions") || !strings.Contains(out, "0.50 g weighed, 1.72 g planned") {
		t.Errorf("less acid: %s", out)
	}
	if code, _, errs := tawny(t, "book", "weigh", "1", "Lactic acid 80 %=2.5", "--book", file); code != exitInput || !strings.Contains(errs, "1.45 times") {
		t.Errorf("more acid: exit %d: %s", code, errs)
	}
	out := flat(run("weigh", "1", "pale gold=8.9", "--yes"))
	if !strings.Contains(out, "weigh 17.80 g of Glycerin, not 17.20 g") || !strings.Contains(out, "the powders are then 2.07 % of the batch, not 2.00 %") {
		t.Errorf("more powder: %s", out)
	}
}

// A lot is put right: its strength, and its day in a month as bags have it; a date of
// another form is not taken for one past.
func TestBookLotPutRight(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	run("add", "lot", "R-1", "--powder", "bronze", "--grams", "20", "--strength", "90", "--yes")
	if out := run("edit", "lot", "R-1", "--strength", "90 %", "--expires", "2049-02", "--price", "0.4"); !strings.Contains(out, "0.9") || !strings.Contains(out, "2049-02-28") {
		t.Errorf("put right: %s", out)
	}
	for _, day := range []string{"01/02/2049", "2049-13", "soon"} {
		code, _, errs := tawny(t, "book", "edit", "lot", "R-1", "--expires", day, "--book", file)
		if code != exitInput || strings.Contains(errs, "past") || !strings.Contains(errs, "2027-03") {
			t.Errorf("%s: exit %d: %s", day, code, errs)
		}
	}
	if code, _, errs := tawny(t, "book", "edit", "client", "1", "--strength", "0.9", "--book", file); code != exitInput || !strings.Contains(errs, "has none") {
		t.Errorf("exit %d: %s", code, errs)
	}
	run("delete", "lot", "4", "--yes")
	if out := run("stock"); strings.Contains(out, "R-1") {
		t.Errorf("it stays: %s", out)
	}
}

// A skin judged by a word is a stand-in in what is made for the client, and no surer
// than a reading; it gives way to one, and a reading of another kind is told of and
// leaves the client as good as before.
func TestBookClientByEye(t *testing.T) {
	file, run := bookAt(t)
	match := func() (out string, within float64) {
		args := []string{"match", "--skin", "client:Noor (demo)", "--target", "rose", "--only", "mulberry,copper"}
		t.Setenv("TAWNY_BOOK", file)
		found := fromJSON[struct {
			Blends []struct {
				Uncertainty struct{ DeltaE00At95 float64 }
			}
		}](t, mustRun(t, append(args, "--json")...))
		return mustRun(t, args...), found.Blends[0].Uncertainty.DeltaE00At95
	}
	run("add", "reading", "deep", "--client", "Noor (demo)", "--new-client")
	out, judged := match()
	if n := strings.Count(out, "stand-in"); n < 2 || strings.Contains(out, "One reading") {
		t.Errorf("as if it was read:\n%s", out)
	}
	if out := run("client", "Noor (demo)"); !strings.Contains(out, "Judged by eye") {
		t.Errorf("%s", out)
	}
	if out := run("add", "reading", "lab:37,11,13/di", "--client", "Noor (demo)"); !strings.Contains(out, "by eye no longer counts") {
		t.Errorf("%s", out)
	}
	out, read := match()
	if strings.Contains(out, "dark preset") || !strings.Contains(out, "L* 37.0  a* 11.0  b* 13.0") || judged < read+1 {
		t.Errorf("within ΔE00 %.1f by eye and %.1f read:\n%s", judged, read, out)
	}
	if out := run("add", "reading", "lab:36,11,14/45", "--client", "Noor (demo)", "--on", "2026-01-01"); !strings.Contains(out, "1 reading left out") {
		t.Errorf("no warning: %s", out)
	}
	if out := run("client", "Noor (demo)"); !strings.Contains(out, "L* 37.0  a* 11.0  b* 13.0") || !strings.Contains(out, "numbers them") {
		t.Errorf("%s", out)
	}
	if again, _ := match(); !strings.Contains(again, "L* 37.0  a* 11.0  b* 13.0") {
		t.Errorf("%s", again)
	}
}

// A result holds its request, and is asked again as that.
func TestResultAskedAgain(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "result.json")
	first := mustRun(t, "skin", "--skin", "deep", "--json")
	if err := os.WriteFile(file, []byte(first), 0o600); err != nil {
		t.Fatal(err)
	}
	if again := mustRun(t, "skin", "--request", file, "--json"); again != first || !strings.Contains(again, "dark") {
		t.Errorf("%s", again)
	}
	if other := mustRun(t, "skin", "--request", file, "--skin", "fair"); !strings.Contains(other, "L* 68.2") {
		t.Errorf("%s", other)
	}
	if code, _, errs := tawny(t, "match", "--request", file); code != exitInput || !strings.Contains(errs, "is for tawny skin") {
		t.Errorf("exit %d: %s", code, errs)
	}
	if list := mustRun(t, "skin"); !strings.Contains(list, "also called deep") || !strings.Contains(list, "also called fair, pale") {
		t.Errorf("%s", list)
	}
}

// A pH measured at the bench counts on the labels of its batch: within the preservative's
// window nothing is left to mend, outside it they stop in words. Nor has
// the label of a batch that nobody named the client's name.
func TestMeasuredPHOnTheLabel(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	run("save", "--client", bookedDancer, "--part", "pale gold=2", "--containers", "8", "--ml", "50",
		"--base", "recipe:water 70 %, glycerin 4, Cetearyl Olivate 5, jojoba oil 20, phenoxyethanol 1")
	labels := func() string { return mustRun(t, "labels", "--batch", "1", "--book", file) }
	if said := labels(); !strings.Contains(said, "to mend before it is sold: pH") || strings.Contains(said, "Ada") || !strings.HasPrefix(said, "Shimmer body lotion   50 ml") {
		t.Errorf("before it is measured:\n%s", said)
	}
	for _, c := range []struct{ ph, says, not string }{
		{"5,4", "Shimmer body lotion", "to mend before"}, {"12", "phenoxyethanol, pH", "no pH is given"}, {"none", "sold: pH", "what set"}, {"5.4", "Shimmer body lotion", "to mend before"},
	} {
		told := flat(run("weigh", "1", "--as-planned", "--reading", "pH="+c.ph, "--yes"))
		if said := labels(); !strings.Contains(said, c.says) || strings.Contains(said, c.not) {
			t.Errorf("measured at %s:\n%s", c.ph, said)
		}
		if strings.Contains(told, "this batch was measured at 12") != (c.ph == "12") {
			t.Errorf("measured at %s, it is told %s", c.ph, told)
		}
	}
}

// More out of a lot than is left of it, words for a number and a batch beside a correction
// are asked about or refused, and nothing is written.
func TestWeighedOutOfAnEmptyLot(t *testing.T) {
	t.Parallel()
	file, run := bookAt(t)
	run("save", "--skin", "tan", "--part", "bronze=10", "--grams", "400")
	was := run("show", "batch", "1")
	for _, c := range []struct{ line, says string }{
		{"book weigh 1 bronze=40", "takes 40 g of lot B-9 of bronze, of which 25.5 g is left"},
		{"book move B-9 500 --why spilt", "takes 500 g of lot B-9"},
		{"book weigh 1 --reading pH=abc", "a number"},
		{"book weigh 1 --correction 1", "the correction's number is enough"},
	} {
		if code, _, errs := tawny(t, append(strings.Fields(c.line), "--book", file)...); code != exitInput || !strings.Contains(errs, c.says) {
			t.Errorf("%s: exit %d, %s", c.line, code, errs)
		}
	}
	if now := run("show", "batch", "1"); now != was {
		t.Errorf("it was\n%s and is\n%s", was, now)
	}
	run("weigh", "1", "bronze=40", "--yes")
	if left := run("stock", "bronze"); !strings.Contains(left, "-14.50") {
		t.Errorf("%s", left)
	}
	// Nor is a weight written over that its writer did not know of.
	if code, _, errs := tawny(t, "book", "weigh", "1", "bronze=40.5", "--was", "14=none", "--book", file); code != exitInput || !strings.Contains(errs, "the book has 40 g by now") {
		t.Errorf("exit %d, %s", code, errs)
	}
}

// Readings that can hardly be of one skin have no mean unasked: the new one stands
// instead of the old, or beside it. What was judged gives way to what was read as ever.
func TestReadingsThatContradict(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "book.db")
	add := func(args ...string) (int, string) {
		code, out, errs := tawny(t, append([]string{"book", "add", "reading", "--client", "Noor (demo)", "--new-client", "--book", file}, args...)...)
		return code, flat(out + errs)
	}
	for _, c := range []struct {
		args  []string
		code  int
		says  string
		count int
	}{
		{[]string{"light"}, 0, "Reading 1", 1},
		{[]string{"deep"}, exitInput, "--instead takes reading 1 out", 1},
		{[]string{"deep", "--instead"}, 0, "Reading 1 is out of the book.", 1},
		{[]string{"lab:66,11,17"}, 0, "Reading", 2},
		{[]string{"lab:64,11,17", "--place", "shoulder"}, 0, "Reading", 3},
		{[]string{"lab:38,11,14"}, exitInput, "--instead takes reading 3 out", 3},
		{[]string{"lab:38,11,14", "--yes"}, 0, "further than places of one skin do", 4},
	} {
		code, said := add(c.args...)
		list := fromJSON[job.BookList](t, mustRun(t, "book", "list", "readings", "--json", "--book", file))
		if code != c.code || !strings.Contains(said, c.says) || len(list.Records) != c.count {
			t.Errorf("%q: %d, %d readings, %s", c.args, code, len(list.Records), said)
		}
	}
}

// A bag of another powder is asked about, and of one that is new since a batch nothing
// is said to be known.
func TestAnotherBag(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "book.db")
	run := func(args ...string) string { return mustRun(t, append(args, "--book", file)...) }
	run("book", "add", "lot", "B-1", "--powder", "bronze", "--grams", "50")
	run("book", "add", "lot", "G-1", "--powder", "pale gold", "--grams", "50")
	run("book", "save", "--skin", "tan", "--part", "bronze=2", "--grams", "100")
	weigh := []string{"book", "weigh", "1", "--as-planned", "--lot", "bronze=G-1", "--book", file}
	if code, _, errs := tawny(t, weigh...); code != exitInput || !strings.Contains(errs, "--yes weighs bronze from lot G-1, which is one of pale gold") {
		t.Errorf("%d %s", code, errs)
	}
	run("book", "add", "lot", "B-2", "--powder", "bronze", "--grams", "50")
	run("book", "edit", "lot", "B-1", "--expires", time.Now().AddDate(0, 2, 0).Format(time.DateOnly))
	for _, lot := range []string{"B-2", "B-1"} {
		v := fromJSON[job.BookWeighed](t, run("book", "weigh", "1", "--as-planned", "--lot", "bronze="+lot, "--json"))
		if v.BestBefore == nil || strings.Contains(v.BestBefore.Why, "lot") != (lot == "B-1") {
			t.Errorf("from %s: %+v", lot, v.BestBefore)
		}
	}
	for lot, says := range map[string]string{"B-1": "the shares are as they were.", "B-2": "the shares are as they were. Of lot B-2 of bronze, new since, nothing is known"} {
		if v := fromJSON[job.BookMadeAgain](t, run("book", "again", "1", "--lot", "bronze="+lot, "--json")); !strings.Contains(v.Choice, says) || lot == "B-1" && strings.Contains(v.Choice, "known") {
			t.Errorf("from %s: %s", lot, v.Choice)
		}
	}
}

// A batch is found by its code wherever its number is taken, a recall's too, and its
// record shows the code.
func TestACodeFindsItsBatch(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "book.db")
	run := flatOf(t, file)
	run("book", "add", "reading", "deep", "--client", "Noor (demo)", "--new-client")
	run("book", "save", "--client", "Noor (demo)", "--part", "bronze=2", "--grams", "100", "--code", "EV-1")
	run("book", "save", "--skin", "tan", "--part", "bronze=2", "--grams", "100", "--code", "261127")
	for _, c := range []struct{ line, says string }{
		{"book weigh ev-1 --as-planned --on 2026-08-03", "Batch 1"}, {"book show batch EV-1", "Code EV-1"}, {"book show batch 261127", "Batch 2"},
		{"book uses EV-1", "batch 1, "}, {"book uses EV-1", "for Noor (demo)"}, {"labels --batch EV-1", "Batch: EV-1"}, {"batch --batch EV-1", "EV-1"},
		{"book edit batch EV-1 --note hers", "Code EV-1"},
	} {
		if said := run(strings.Fields(c.line)...); !strings.Contains(said, c.says) {
			t.Errorf("%s: %s", c.line, said)
		}
	}
	if code, _, errs := tawny(t, "book", "show", "batch", "EV-2", "--book", file); code != exitInput || !strings.Contains(errs, "its number in the book or its code") {
		t.Errorf("%d %s", code, errs)
	}
}

// A powder of which every lot is past its day or held back is told as that, and not as one
// that the book has no lot of.
func TestMendingKnowsWhatIsKeptBack(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "book.db")
	run := flatOf(t, file)
	run("book", "add", "lot", "B-1", "--powder", "bronze", "--grams", "50")
	run("book", "add", "lot", "G-1", "--powder", "pale gold", "--grams", "50", "--expires", "2026-01-15", "--yes")
	run("book", "save", "--skin", "tan", "--part", "bronze=2", "--grams", "100")
	run("book", "weigh", "1", "--as-planned")
	said := run("mend", "--batch", "1", "--looks", "too dark", "--new", "1")
	if !strings.Contains(said, "Lot G-1 of pale gold is past its day, 2026-01-15, so none of it is offered.") {
		t.Errorf("%s", said)
	}
	run("book", "edit", "lot", "G-1", "--expires", "2999-01-15")
	if said := run("mend", "--batch", "1", "--looks", "too dark", "--new", "1"); strings.Contains(said, "none of it") || !strings.Contains(said, "pale gold") {
		t.Errorf("%s", said)
	}
}
