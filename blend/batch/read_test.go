package batch

import (
	"errors"
	"math"
	"strings"
	"testing"

	"tawny/colour/table"
)

// Every built-in base reads, sums to 100 % and can be found by its name and
// by its file's.
func TestBuiltin(t *testing.T) {
	bs := Builtin()
	for _, b := range bs {
		if b.Kind != Ready && math.Abs(b.Sum()-100) > 1e-9 {
			t.Errorf("%s sums to %v", b.Name, b.Sum())
		}
		for _, name := range []string{b.Name, strings.ToUpper(b.Name), strings.TrimSuffix(b.File, ".csv")} {
			if got, err := Find(name); err != nil || got.Name != b.Name {
				t.Errorf("Find(%q) = %q, %v", name, got.Name, err)
			}
		}
	}
	if _, err := Find("everyday loton"); err == nil || !strings.Contains(err.Error(), `nearest is "Everyday lotion"`) {
		t.Errorf("no suggestion: %v", err)
	}
}

const goodBase = `# base: Plain
# kind: oil
# density_g_ml: 0.92
# consistency: thin
phase,name,inci,percent,roles,add_below_c,usual_low,usual_high,usual_of,hlb
oil,Sunflower,Helianthus Annuus Seed Oil,90,emollient;filler,,,,,
wetting,Castor,Ricinus Communis Seed Oil,10,wetting,,2,20,product,
`

// Bad data names file, line and column and says what is accepted.
func TestReadBaseFaults(t *testing.T) {
	cases := []struct {
		name, old, new string
		line, column   int
		want           string
	}{
		{"percent", ",90,", ",ninety,", 6, 4, "% w/w of the base"},
		{"over 100", ",90,", ",190,", 6, 4, "outside 0 to 100"},
		{"NaN", ",90,", ",NaN,", 6, 4, "not a number"},
		{"role", "wetting,,2", "wetter,,2", 7, 5, `no role "wetter"`},
		{"phase", "wetting,Castor", "water,Castor", 7, 1, "kind oil has no phase"},
		{"header", "inci,percent", "inci,per cent", 5, 4, "phase,name,inci"},
		{"kind", "kind: oil", "kind: butter", 2, 0, "lotion, oil, mist, spray, ready"},
		{"key", "# density_g_ml: 0.92", "# density: 0.92", 3, 0, "unknown key"},
		{"no density", "# density_g_ml: 0.92\n", "", 1, 0, "key is missing"},
		{"twice", "wetting,Castor", "oil,Sunflower", 7, 2, "already, on line 6"},
		{"fields", "2,20,product,", "2,20", 7, 9, "8 cells where the header has 10"},
		{"range", "2,20,product", "20,2,product", 7, 8, "from high to low"},
		{"shares", "Ricinus Communis Seed Oil", "A=50;B=40", 7, 3, "sum to 90"},
		{"semicolons", goodBase[strings.Index(goodBase, "phase,"):], "phase;name;inci\n", 5, 4, "is missing"},
	}
	for _, c := range cases {
		_, err := ReadBase(strings.NewReader(strings.Replace(goodBase, c.old, c.new, 1)), "mine.csv")
		var te *table.Error
		if !errors.As(err, &te) {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if te.File != "mine.csv" || te.Line != c.line || te.Column != c.column || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v (line %d column %d, want %d, %d, %q)", c.name, err, te.Line, te.Column, c.line, c.column, c.want)
		}
	}
	if _, err := ReadBase(strings.NewReader(goodBase), "mine.csv"); err != nil {
		t.Error(err)
	}
}

// What a spreadsheet does to the file on saving changes nothing.
func TestReadBaseFromSpreadsheet(t *testing.T) {
	s := strings.ReplaceAll(goodBase, "# base: Plain\n", "\"# base: Plain, and simple\",,,,,,,,,\n")
	s = "\ufeff" + strings.ReplaceAll(s, "\n", "\r\n") + ",,,,,,,,,\r\n"
	b, err := ReadBase(strings.NewReader(s), "mine.csv")
	if err != nil || b.Name != "Plain, and simple" || len(b.Ingredients) != 2 {
		t.Errorf("%+v, %v", b, err)
	}
}

// No input makes the reader panic, and a base it accepts scales or is refused
// without a panic too.
func FuzzReadBase(f *testing.F) {
	f.Add(goodBase)
	entries, _ := baseFiles.ReadDir("bases")
	for _, e := range entries {
		raw, _ := baseFiles.ReadFile("bases/" + e.Name())
		f.Add(string(raw))
	}
	f.Fuzz(func(t *testing.T, s string) {
		b, err := ReadBase(strings.NewReader(s), "fuzz.csv")
		if err != nil {
			return
		}
		got, err := Scale(Request{Base: b, Grams: 250, Parts: []Part{{demoGold(), 4}, {demoRed(), 0.5}}})
		if err != nil {
			return
		}
		sum := int64(0)
		for _, l := range got.Weighings {
			sum += l.Steps
		}
		if sum != got.TotalSteps {
			t.Errorf("weights sum to %d of %d", sum, got.TotalSteps)
		}
	})
}
