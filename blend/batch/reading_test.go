package batch

import (
	"encoding/json"
	"strings"
	"testing"
)

// A sheet's blanks are found by how their words begin, what follows from pots is reckoned,
// and what a step asks is held against what was read; all over a copy through JSON, as
// the book keeps it, which prints as the first one.
func TestReadings(t *testing.T) {
	base, err := Find("Everyday lotion")
	if err != nil {
		t.Fatal(err)
	}
	first, err := Scale(Request{Base: base, Grams: 508, Title: "Evening"})
	if err != nil {
		t.Fatal(err)
	}
	if v := first.Vessels[0]; v.ML != 800 {
		t.Errorf("508 g are made in %d ml", v.ML)
	}
	var b Batch
	text, _ := json.Marshal(first)
	if err := json.Unmarshal(text, &b); err != nil {
		t.Fatal(err)
	}
	printed := func(b *Batch) string {
		var out strings.Builder
		if err := Text(&out, b); err != nil {
			t.Fatal(err)
		}
		return out.String()
	}
	if printed(&b) != printed(first) {
		t.Error("as the book keeps it, the sheet prints otherwise")
	}
	put := func(name, value string) *Reading {
		_, r, err := b.Blank(name)
		if err != nil {
			t.Fatal(err)
		}
		r.Value = value
		return r
	}
	for _, c := range []struct{ name, value, off string }{
		{"7 temperature", "38", ""}, {"7 Temperature", "65", "at most 40 °C"}, {"water phase", "65", "70–75 °C"}, {"Oil", "72,5", ""},
		{"pH", "5,1", ""}, {"pH", "12", "4.8–5.2"}, {"number filled", "9", ""},
	} {
		if off := put(c.name, c.value).Off(); off != c.off {
			t.Errorf("%s of %s: %q, want %q", c.value, c.name, off, c.off)
		}
	}
	for name, says := range map[string]string{"temperature": "in several places", "colour of the moon": "does not ask", "4 pH": "does not ask"} {
		if _, _, err := b.Blank(name); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	put("empty main pot", "812,5")
	put("pot and all", "1320.9")
	put("2 pot and water phase weigh", "1170")
	put("5 pot and water phase weigh now", "1156.9")
	says := strings.Join(b.Reckon(false), " ")
	if g, _ := b.Read(IsMade); g != 508.4 || !strings.Contains(says, "508.4 g") || !strings.Contains(says, "13.1 g of water") {
		t.Errorf("%v g; %s", g, says)
	}
	put("pot and all", "1320.5")
	if b.Reckon(false); must(b.Read(IsMade)) != 508.4 {
		t.Error("what stands there is written over unasked")
	}
	if b.Reckon(true); must(b.Read(IsMade)) != 508 {
		t.Error("the pot weighed afresh does not count")
	}
	if sheet := printed(&b); !strings.Contains(sheet, "pot and all weigh: 1320.5 g") {
		t.Errorf("what was read is not on the sheet:\n%s", sheet)
	}
}

func must(x float64, ok bool) float64 {
	if !ok {
		return -1
	}
	return x
}
