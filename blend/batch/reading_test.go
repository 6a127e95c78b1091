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
	var lines []Made
	for _, w := range first.Weighings {
		lines = append(lines, Made{Name: w.Name, PlannedG: w.Grams, WeighedG: &w.Grams})
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
		// What follows from other readings: 395.7 g are the water phase (of 508 g).
		{"held from", "23:50", ""}, {"held to", "23:57", "00:10 at the earliest"}, {"held to", "00:10", ""}, {"held to", "23:40", "00:10 at the earliest"},
		{"empty main pot", "312.4", ""}, {"2 pot and water phase weigh", "608.1", "about 708.1 g"}, {"2 pot and water phase weigh", "708.2", ""},
		{"5 pot and water phase weigh now", "718.2", "at most 708.2 g"}, {"5 pot and water phase weigh now", "698.7", ""},
		{"boiled water added", "95", "9.5 g"}, {"boiled water added", "9.5", ""},
		{"pot and all", "720.4", "about 820.4 g"}, {"pot and all", "815", ""}, {"batch weighs", "402.6", "about 502.6 g"}, {"batch weighs", "502.6", ""},
	} {
		r := put(c.name, c.value)
		if b.Judge(lines); r.Off != c.off {
			t.Errorf("%s of %s: %q, want %q", c.value, c.name, r.Off, c.off)
		}
	}
	if says := b.Reckon(lines, false); len(says) > 0 {
		t.Errorf("all is done and written, and the sheet says %q", says)
	}
	for _, blank := range []string{"boiled water added", "batch weighs"} {
		put(blank, "")
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
	if r := put("boiled water added", ""); r.Off != "" {
		t.Errorf("%q", r.Off)
	} else if b.Judge(lines); r.Off != "13.1 g" {
		t.Errorf("of water still to add the sheet asks %q", r.Off)
	}
	says := strings.Join(b.Reckon(lines, false), " ")
	if g, _ := b.Read(IsMade); g != 508.4 || !strings.Contains(says, "508.4 g") || !strings.Contains(says, "13.1 g of water") {
		t.Errorf("%v g; %s", g, says)
	}
	put("pot and all", "1320.5")
	if b.Reckon(lines, false); must(b.Read(IsMade)) != 508.4 {
		t.Error("what stands there is written over unasked")
	}
	if b.Reckon(lines, true); must(b.Read(IsMade)) != 508 {
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
