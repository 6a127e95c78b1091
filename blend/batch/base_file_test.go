package batch

import (
	"bytes"
	"math"
	"reflect"
	"strings"
	"testing"
)

// A base written and read again is the same base.
func TestWriteBase(t *testing.T) {
	bs := Builtin()
	for _, b := range append(bs, baseFrom(t, plainLotion)) {
		var out bytes.Buffer
		if err := WriteBase(&out, b); err != nil {
			t.Fatal(err)
		}
		got, err := ReadBase(&out, b.File)
		if err != nil {
			t.Errorf("%s: %v", b.Name, err)
			continue
		}
		for i := range got.Ingredients {
			got.Ingredients[i].Line = b.Ingredients[i].Line
		}
		if !reflect.DeepEqual(got, b) {
			t.Errorf("%s:\n%+v\n%+v", b.Name, got, b)
		}
	}
}

// What is shown of a base holds every ingredient and its percentage.
func TestBaseText(t *testing.T) {
	bs := Builtin()
	var all bytes.Buffer
	if err := BasesText(&all, bs); err != nil {
		t.Fatal(err)
	}
	for _, b := range bs {
		var out, faults bytes.Buffer
		if err := BaseText(&out, b); err != nil {
			t.Fatal(err)
		}
		for _, in := range b.Ingredients {
			if !strings.Contains(out.String(), in.Name) || (b.Kind != Ready && !strings.Contains(out.String(), percentText(in.Percent))) {
				t.Errorf("%s lacks %s", b.Name, in.Name)
			}
		}
		if !strings.Contains(all.String(), b.Name) {
			t.Errorf("the list lacks %s", b.Name)
		}
		if err := FindingsText(&faults, Check(b, Request{})); err != nil || !strings.Contains(faults.String(), "assessor") {
			t.Errorf("%s: %v", b.Name, err)
		}
	}
}

// What a recipe was not told stays assumed in the file made of it, until its maker
// takes the key off that line.
func TestAssumedStays(t *testing.T) {
	b, err := ParseRecipe("water 75, jojoba 14, emulsifying wax 10, phenoxyethanol 1", "mine.txt")
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := WriteBase(&out, b); err != nil {
		t.Fatal(err)
	}
	got, err := ReadBase(strings.NewReader(out.String()), "mine.csv")
	if err != nil || len(got.Implied) != 3 || !reflect.DeepEqual(got.Implied, b.Implied) {
		t.Errorf("%v: %q, want %q", err, got.Implied, b.Implied)
	}
	got, err = ReadBase(strings.NewReader(strings.Replace(out.String(), "density_g_ml;", "", 1)), "mine.csv")
	if err != nil || !reflect.DeepEqual(got.Implied, b.Implied[1:]) {
		t.Errorf("%v: %q, want %q", err, got.Implied, b.Implied[1:])
	}
}

// As weighed as planned a base is itself, whatever of powder went in; more of the base
// put in later thins what was weighed too freely.
func TestAsWeighed(t *testing.T) {
	b, err := ParseRecipe("water 80, glycerin 10, jojoba 9, phenoxyethanol 1", "mine.txt")
	if err != nil {
		t.Fatal(err)
	}
	weighed := func(phenoxyethanol, more float64) Base {
		return b.AsWeighed(map[string]float64{"water": 780 - phenoxyethanol + 10, "glycerin": 100, "jojoba": 90, "phenoxyethanol": phenoxyethanol, b.Name: more}, 980+20+more)
	}
	percent := func(b Base) float64 { return b.share(func(inci string) bool { return inci == "Phenoxyethanol" }) }
	for _, c := range []struct{ grams, more, want float64 }{{10, 0, 1}, {20, 0, 2}, {20, 1000, 1.5}, {0, 0, 0}} {
		got := weighed(c.grams, c.more)
		if math.Abs(percent(got)-c.want) > 1e-9 || math.Abs(got.Sum()-100) > 1e-9 {
			t.Errorf("%+v: %g %% of %g", c, percent(got), got.Sum())
		}
		if n := len(got.Ingredients); (n == 3) != (c.grams == 0) {
			t.Errorf("%+v: %d ingredients", c, n)
		}
	}
	if percent(b) != 1 {
		t.Error("the recipe itself was changed")
	}
}
