package main

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"
)

// columnsOf returns where a word stands in each of the lines that hold it.
func columnsOf(out, word string) (at []int) {
	for _, line := range strings.Split(out, "\n") {
		if i := strings.Index(line, word); i >= 0 {
			at = append(at, utf8.RuneCountInString(line[:i]))
		}
	}
	return at
}

// Rows under each other keep their columns where L* passes 100 and where names
// and signs differ.
func TestColumnsStandUnderEachOther(t *testing.T) {
	for _, c := range []struct {
		args  []string
		word  string
		rows  int
		above int
	}{
		{[]string{"drawer", "show", "pale gold", "--skin", "tan"}, "   at ", 8, 0},
		{[]string{"drawer", "show", "pale gold", "--skin", "tan"}, "hue", 9, 1},
		{[]string{"flake", "--coat", "rutile:75"}, "   C* ", 5, 1},
		{[]string{"photo", photoDemo, "--strip", stripDemo, "--area", "120,260,200,200"}, "found", 8, 0},
		{[]string{"photo", photoDemo, "--strip", stripDemo, "--area", "120,260,200,200"}, "ΔE00  0", 8, 0},
	} {
		out := mustRun(t, c.args...)
		at := columnsOf(out, c.word)
		if len(at) != c.rows {
			t.Errorf("tawny %s: %d rows with %q, want %d:\n%s", strings.Join(c.args, " "), len(at), c.word, c.rows, out)
			continue
		}
		// The powder's own row and the flake's colour stand above the table.
		for _, x := range at[c.above:] {
			if x != at[c.above] {
				t.Errorf("tawny %s: %q stands at %v:\n%s", strings.Join(c.args, " "), c.word, at, out)
				break
			}
		}
	}
}

// A named powder on a skin stands above that skin by itself, from the same
// sides; a skin without a powder is not passed over.
func TestDrawerOnSkinShowsBareSkin(t *testing.T) {
	out := mustRun(t, "drawer", "show", "pale gold", "--skin", "tan")
	bare := strings.Index(out, "Bare skin")
	if bare < 0 {
		t.Fatal(out)
	}
	if n := len(regexp.MustCompile(`at +(15|45|75|110)°`).FindAllString(out[bare:], -1)); n != 4 {
		t.Errorf("%d directions of the bare skin:\n%s", n, out)
	}
	if out := mustRun(t, "drawer", "show", "pale gold"); strings.Contains(out, "Bare skin") {
		t.Errorf("on a card:\n%s", out)
	}
	if code, out, errs := tawny(t, "drawer", "show", "--skin", "tan"); code != 2 || out != "" || !strings.Contains(errs, "powder") {
		t.Errorf("exit %d, %q, %q", code, out, errs)
	}
}

// One powder is one powder.
func TestDrawerCounts(t *testing.T) {
	for n, args := range map[string][]string{"\n1 powder.": {"drawer", "show", "bronze"}, "\n2 powders.": {"drawer", "show", "bronze", "pale gold"}} {
		if out := mustRun(t, args...); !strings.Contains(out, n) {
			t.Errorf("no %q in\n%s", n, out)
		}
	}
}
