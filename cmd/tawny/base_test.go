package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"tawny/blend/batch"
)

// A base with a fault and no stop exits with 2, told in the same words as the
// findings, as JSON too; a stop is counted beside it.
func TestBaseCheckExits(t *testing.T) {
	text := mustRun(t, "base", "show", "Everyday lotion", "--csv")
	path := filepath.Join(t.TempDir(), "mine.csv")
	if err := os.WriteFile(path, regexp.MustCompile(`(?m)^# ph: .*\n`).ReplaceAll([]byte(text), nil), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{path}, ": 1 fault to mend first"},
		{[]string{path, "--json"}, ": 1 fault to mend first"},
		{[]string{path, "--part", "ultramarine blue=0.3", "--area", "lips"}, "2 stops and 2 faults to mend first"},
	} {
		code, _, errs := tawny(t, append([]string{"base", "check"}, c.args...)...)
		if code != exitInput || !strings.Contains(errs, c.want) {
			t.Errorf("%v: exit %d, %q; want %q", c.args[1:], code, errs, c.want)
		}
	}
	// What is no fault is noted: what settles, and what a label calls a guess.
	for base, notes := range map[string][]string{"Silk body oil": {"starts to clear"}, "Everyday lotion": {"shimmer should stay up", "DRAFT: shares guessed"}} {
		out := flat(mustRun(t, "base", "check", base, "--part", "pale gold=3"))
		for _, said := range append(notes, "Nothing to mend") {
			if !strings.Contains(out, said) {
				t.Errorf("%s: no %q in %s", base, said, out)
			}
		}
	}
	if code, _, errs := tawny(t, "base", "check", t.TempDir()); code != exitInput || !strings.Contains(errs, "is a folder") {
		t.Errorf("folder: exit %d, %s", code, errs)
	}
}

// A recipe's file is read as every file of text is: an older encoding is
// understood, and what is no text is refused.
func TestRecipeFileIsText(t *testing.T) {
	path := filepath.Join(t.TempDir(), "mine.txt")
	put := func(text string) {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	put("cr\xe8me brute (Simmondsia Chinensis Seed Oil) 100\r\n")
	if out := mustRun(t, "base", "add", "Mine", path); !strings.Contains(out, "crème brute") {
		t.Errorf("%s", out)
	}
	put("jojoba 100\x00")
	for _, args := range [][]string{{"base", "add", "Mine", path}, {"base", "check", path}} {
		if code, _, errs := tawny(t, args...); code != exitInput || !strings.Contains(errs, "mine.txt:1: not text") {
			t.Errorf("%v: exit %d, %s", args, code, errs)
		}
	}
}

// A base shown as CSV is read back without a finding more or less; the help
// tells the file's first line and keys.
func TestBaseShowCSV(t *testing.T) {
	for _, name := range []string{"Everyday lotion", "Bought white lotion", "Standing gel oil"} {
		text := mustRun(t, "base", "show", name, "--csv")
		back, err := batch.ReadBase(strings.NewReader(text), "mine.csv")
		if err != nil || back.Name != name {
			t.Errorf("%s: %v", name, err)
		}
	}
	help := mustRun(t, "base", "--help")
	for _, want := range append(strings.Split(batch.BaseKeys, ", "), strings.Join(batch.BaseHeader, ",")) {
		if !strings.Contains(help, want) {
			t.Errorf("help lacks %s", want)
		}
	}
	for _, role := range batch.Roles {
		if !strings.Contains(help, string(role)) {
			t.Errorf("help lacks the role %s", role)
		}
	}
}

// A misspelt allergen is refused with the nearest before any sheet is
// written; 0 loss and 0 overfill are kept as wished; a margin needs containers.
func TestBenchWishes(t *testing.T) {
	blend := []string{"batch", "--skin", "tan", "--part", "pale gold=2"}
	code, _, errs := tawny(t, append(blend, "--grams", "200", "--scent", "bergamot=0.4", "--allergen", "Linalol=12")...)
	if code != exitInput || !strings.Contains(errs, "Linalool") {
		t.Errorf("allergen: exit %d, %s", code, errs)
	}
	filled := append(blend, "--containers", "4", "--ml", "100", "--json")
	var grams []string
	for _, extra := range [][]string{nil, {"--loss", "0", "--overfill", "0"}, {"--loss", "4", "--overfill", "1"}} {
		out := mustRun(t, append(filled, extra...)...)
		_, g, _ := strings.Cut(out, `"totalG": `)
		g, _, _ = strings.Cut(g, ",")
		grams = append(grams, g)
	}
	if grams[0] != grams[2] || grams[1] == grams[0] || grams[0] == "" {
		t.Errorf("batches of %v g by default, with no loss, with the usual loss", grams)
	}
	for _, bad := range []string{"-1", "60", "NaN", "some"} {
		if code, _, errs := tawny(t, append(filled, "--loss", bad)...); code != exitInput || !strings.Contains(errs, "loss") {
			t.Errorf("--loss %s: exit %d, %s", bad, code, errs)
		}
	}
	prices := filepath.Join(t.TempDir(), "prices.csv")
	if err := os.WriteFile(prices, []byte(batch.PricesHeader+"\ncontainer,0.5,each\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := tawny(t, append(blend, "--grams", "200", "--prices", prices, "--margin", "60")...); code != exitInput || !strings.Contains(errs, "containers") {
		t.Errorf("margin of grams: exit %d, %s", code, errs)
	}
}

// Of a recipe on one line no line is named; of one on several it is.
func TestFindingsNameALineOfSeveral(t *testing.T) {
	t.Parallel()
	for recipe, want := range map[string]bool{"water 80, jojoba oil 19, moondust (Moondust) 1": false, "water 80\njojoba oil 19\nmoondust (Moondust) 1": true} {
		if _, out, errs := tawny(t, "base", "check", "recipe:"+recipe); strings.Contains(out, "line 3, moondust: ") != want || strings.Contains(out, "line 1") || !strings.Contains(out, "Moondust is") {
			t.Errorf("%q: %s%s", recipe, out, errs)
		}
	}
}
