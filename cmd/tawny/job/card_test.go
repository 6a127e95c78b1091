package job

import (
	"context"
	"strings"
	"testing"

	"tawny/swatches"
)

// A card speaks in words, not in the command line's notation.
func TestTargetInWords(t *testing.T) {
	for text, want := range map[string]string{
		"skin:+1,+4,+5":            "1 lighter, 4 stronger, 5° warmer",
		"skin:-2,-0.5,-3":          "2 darker, 0.5 greyer, 3° cooler",
		"skin:0,3,0":               "3 stronger",
		"skin:0,0,0":               "the skin itself",
		"#c68642":                  "colour #c68642",
		"lab:66, 9.5,15@D65/2":     "L* 66, a* 9.5, b* 15",
		"lch:66,18,55/de":          "L* 66, C* 18, h 55",
		"lab:66,9,15; lab:67,9,14": "the average of repeats",
	} {
		r, err := blendOf(Input{Skin: "light", Target: text, Parts: []string{"pale gold=2"}})
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		c, err := r.Card(CardOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.ReplaceAll(c.Target.Name, "\u00a0", " "); got != want {
			t.Errorf("target %q is called %q, want %q", text, got, want)
		}
	}
	for skin, want := range map[string]string{"#c68642": "Blend for colour #c68642", "lab:64.1,11.3,14.4": "Blend for L* 64.1, a* 11.3, b* 14.4", "tan": "Blend for tan"} {
		r, err := blendOf(Input{Skin: skin, Parts: []string{"pale gold=2"}})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.ReplaceAll(r.title(), "\u00a0", " "); got != want {
			t.Errorf("skin %q heads %q, want %q", skin, got, want)
		}
	}
}

// Every drawing warns of a skin beyond the model's, and the warning does not
// take it for deep: a saturated light one is beyond it too.
func TestExtrapolationIsTold(t *testing.T) {
	told := func(where string, remarks []string) {
		t.Helper()
		all := strings.Join(remarks, " ")
		if !strings.Contains(all, "outside those the model was fitted to") || strings.Contains(all, "darker") || strings.Contains(all, "deeper") {
			t.Errorf("%s says %q", where, all)
		}
	}
	for _, skin := range []string{"lab:45,25,25", "lab:75,22,40"} {
		in := Input{Skin: skin, Parts: []string{"pale gold=2"}}
		r, err := blendOf(in)
		if err != nil {
			t.Fatal(err)
		}
		if !r.Skin.Extrapolated {
			t.Fatalf("%s is within the model; the case tests nothing", skin)
		}
		c, err := r.Card(CardOptions{})
		if err != nil {
			t.Fatal(err)
		}
		told(skin+", card", c.Remarks)
		for _, kind := range []string{"loads", "coverages", "lights"} {
			b, err := r.Board(kind, nil, CardOptions{})
			if err != nil {
				t.Fatal(err)
			}
			told(skin+", "+kind, b.Remarks)
		}
		b, _, err := SkinsBoard(context.Background(), in, []string{"light", skin}, CardOptions{})
		if err != nil {
			t.Fatal(err)
		}
		told(skin+", skins", b.Remarks)
	}
}

// A blend of oxides has no flakes: the card says so and lights no lamp.
func TestNoFlakesNoLamp(t *testing.T) {
	in := Input{Skin: "tan", Parts: []string{"yellow oxide=1", "red oxide=0.5"}}
	r, err := blendOf(in)
	if err != nil {
		t.Fatal(err)
	}
	lit := CardOptions{Shimmer: true, Seed: 1}
	c, err := r.Card(lit)
	if err != nil {
		t.Fatal(err)
	}
	if !c.Sparkle.None || c.Skin.Film != nil || c.Coverages[0].Film != nil {
		t.Errorf("sparkle %+v, film %v", c.Sparkle, c.Skin.Film)
	}
	b, err := r.Board("loads", nil, lit)
	if err != nil {
		t.Fatal(err)
	}
	if !b.Rows[0].Looks[0].Sparkle.None || b.Rows[0].Skin.Film != nil {
		t.Errorf("the board's looks are %+v", b.Rows[0].Looks[0])
	}
	in.Parts = append(in.Parts, "pale gold=1")
	if r, err = blendOf(in); err != nil {
		t.Fatal(err)
	}
	if c, err = r.Card(lit); err != nil || c.Sparkle.None || c.Skin.Film == nil {
		t.Errorf("with flakes: sparkle %+v, %v", c.Sparkle, err)
	}
}

// Boards of one blend carry what to weigh; a board of skins each skin's own.
func TestBoardsCarryWhatToWeigh(t *testing.T) {
	in := Input{Skin: "tan", Grams: 250, Target: "skin:1,4,5", Parts: []string{"pale gold=2", "bronze=1"}}
	r, err := blendOf(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range []string{"loads", "coverages", "lights"} {
		b, err := r.Board(kind, nil, CardOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if b.Blend == nil || len(b.Blend.Parts) != 2 || b.Blend.Parts[0].Grams != 5 || b.Blend.BatchGrams != 250 {
			t.Errorf("%s: weighs %+v", kind, b.Blend)
		}
		l := b.Rows[0].Looks[0]
		if l.Sparkle.Word == "" || l.Sparkle.PerCM2 <= 0 || len(l.Words) == 0 || l.Words[0] == "" {
			t.Errorf("%s: a look says %+v", kind, l)
		}
		if kind == "loads" && !strings.Contains(strings.Join(b.Remarks, " "), "1 mg/cm²") {
			t.Errorf("the coverage is not told: %v", b.Remarks)
		}
	}
	in.Parts, in.Load = nil, 4
	b, _, err := SkinsBoard(context.Background(), in, []string{"light", "brown"}, CardOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range b.Rows {
		words := strings.ReplaceAll(strings.Join(row.Words, " "), "\u00a0", " ")
		for _, want := range []string{" g)", "load 4 %", "glints per cm²", "skin"} {
			if !strings.Contains(words, want) {
				t.Errorf("%s: %q does not say %q", row.Name, words, want)
			}
		}
	}
}

// A target that is a colour is drawn with the spectrum of a skin of that
// colour, which has that colour; one no skin has is told of.
func TestReflectanceChartShowsTheTarget(t *testing.T) {
	for target, curves := range map[string]int{"skin:2,4,5": 3, "": 2} {
		r, err := blendOf(Input{Skin: "tan", Target: target, Parts: []string{"pale gold=2"}})
		if err != nil {
			t.Fatal(err)
		}
		d, err := r.Chart("reflectance")
		if err != nil {
			t.Fatal(err)
		}
		c := d.(*swatches.ReflectanceChart)
		if len(c.Curves) != curves {
			t.Errorf("target %q: %d curves, want %d", target, len(c.Curves), curves)
		}
		if curves == 3 {
			got, want := r.setting.viewing.Lab(&c.Curves[2].Reflectance), r.Target.Lab
			if got.L-want.L > 0.01 || want.L-got.L > 0.01 || !strings.Contains(c.Curves[2].Name, "modelled") {
				t.Errorf("%s has L* %.2f, the target %.2f", c.Curves[2].Name, got.L, want.L)
			}
		}
	}
}

// A heavy load's chart stops at the most the model takes.
func TestLoadChartOfAHeavyLoad(t *testing.T) {
	r, err := blendOf(Input{Skin: "tan", Parts: []string{"pale gold=28"}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.Chart("load"); err != nil {
		t.Error(err)
	}
}

// The flat card that a match writes takes a small part of its time: 60 ms is
// what the project allows it.
func BenchmarkFlatCard(b *testing.B) {
	r, err := blendOf(Input{Skin: "tan", Target: "skin:1,4,5", Parts: []string{"pale gold=2", "bronze=1"}})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		c, err := r.Card(CardOptions{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := swatches.PNG(c, swatches.Paper{}); err != nil {
			b.Fatal(err)
		}
	}
}

// No reading is refused for being dark: of this one less is taken off than the
// usual surface reflection.
func TestDeepestReadingIsWorn(t *testing.T) {
	r, err := blendOf(Input{Skin: "lab:27,8.145,11.597", Parts: []string{"pale gold=3"}})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(r.Skin.Note, "of the usual surface reflection") || r.Blend.Lab.L <= r.Skin.Lab.L {
		t.Errorf("%+v, %+v", r.Skin, r.Blend.Lab)
	}
}
