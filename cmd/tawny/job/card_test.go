package job

import (
	"context"
	"errors"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tawny/colour"
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
		if got := strings.ReplaceAll(c.Rows[0].Target.Name, "\u00a0", " "); got != want {
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

// smallPrint is what stands in small letters on a card.
func smallPrint(c *swatches.Card) (lines []string) {
	for _, b := range c.Blocks {
		if t, ok := b.(swatches.Text); ok && t.Small {
			lines = append(lines, t.Lines...)
		}
	}
	return lines
}

// allText is all that stands in words on a card and its back.
func allText(c *swatches.Card) (said string) {
	for _, b := range slices.Concat(c.Blocks, c.Back) {
		if t, ok := b.(swatches.Text); ok {
			said += t.Name + ": " + strings.Join(t.Lines, " ") + "\n"
		}
	}
	return said
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
		told(skin+", card", smallPrint(c))
		for _, kind := range []string{"loads", "coverages", "lights"} {
			b, err := r.Board(kind, nil, CardOptions{})
			if err != nil {
				t.Fatal(err)
			}
			told(skin+", "+kind, smallPrint(b))
		}
		b, _, err := SkinsBoard(context.Background(), in, []string{"light", skin}, CardOptions{})
		if err != nil {
			t.Fatal(err)
		}
		told(skin+", skins", smallPrint(b))
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
	said := strings.Join(smallPrint(c), " ")
	if !strings.Contains(said, "no flakes") || c.Rows[0].Skin.Film != nil || c.Rows[0].Looks[0].Film != nil {
		t.Errorf("the card says %s, film %v", said, c.Rows[0].Skin.Film)
	}
	b, err := r.Board("loads", nil, lit)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Contains(b.Rows[0].Looks[0].Words, "no flakes") || b.Rows[0].Skin.Film != nil {
		t.Errorf("the board's looks are %+v", b.Rows[0].Looks[0])
	}
	in.Parts = append(in.Parts, "pale gold=1")
	if r, err = blendOf(in); err != nil {
		t.Fatal(err)
	}
	if c, err = r.Card(lit); err != nil || c.Rows[0].Skin.Film == nil {
		t.Errorf("with flakes: no film, %v", err)
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
		w, ok := b.Blocks[0].(*swatches.Blend)
		if !ok || len(w.Parts) != 2 || w.Parts[0].Grams != 5 || w.BatchGrams != 250 {
			t.Errorf("%s: weighs %+v", kind, w)
		}
		if l := b.Rows[0].Looks[0]; len(l.Words) != 2 || l.Words[0] == "" || !strings.Contains(l.Words[1], "glints") {
			t.Errorf("%s: a look says %+v", kind, l)
		}
		if kind == "loads" && !strings.Contains(strings.Join(smallPrint(b), " "), "1 mg/cm²") {
			t.Errorf("the coverage is not told: %v", smallPrint(b))
		}
	}
	in.Parts, in.Load = nil, 4
	b, _, err := SkinsBoard(context.Background(), in, []string{"light", "brown"}, CardOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range b.Rows {
		words := strings.ReplaceAll(strings.Join(row.Words, " "), "\u00a0", " ")
		for _, want := range []string{" g)", "load 4 %", "gleam"} {
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

// What a client is given holds no recipe, no figures of colour and no cost, but
// her name, the look in a sentence, how to wear it, what is in it in the label's
// order, and the cautions.
func TestClientsCard(t *testing.T) {
	in := Input{Skin: "tan", Title: "Lantern for Maris", Parts: []string{"pale gold=2", "bronze=1"}, Base: "Silk body oil"} // of which no share is guessed
	r, err := blendOf(in)
	if err != nil {
		t.Fatal(err)
	}
	c, err := r.Card(CardOptions{Shimmer: true, Client: true})
	if err != nil {
		t.Fatal(err)
	}
	b, err := r.Batch()
	if err != nil {
		t.Fatal(err)
	}
	said := c.Title + " " + c.Note + " " + c.Lead
	for _, k := range c.Blocks {
		text, ok := k.(swatches.Text)
		if !ok {
			t.Fatalf("a client's card holds a %T", k)
		}
		said += " " + text.Name + ": " + strings.Join(text.Lines, " ")
	}
	if strings.Contains(said, "CI 7") {
		t.Error("a colour's number may stand on another line than its index")
	}
	said = strings.ReplaceAll(said, "\u00a0", " ")
	for _, want := range []string{"Lantern for Maris", "gold pearl", "bright gleam", "smoothed on by hand", b.Label.EU.Ingredients, b.Label.EU.Cautions[0]} {
		if !strings.Contains(said, want) {
			t.Errorf("the card does not say %q: %s", want, said)
		}
	}
	if n := strings.Count(strings.ToLower(said), "gold pearl"); n != 1 {
		t.Errorf("the card names the look %d times: %s", n, said)
	}
	for _, banned := range []string{"L*", "ΔE", "pale gold", " g ", "%", "price"} {
		if strings.Contains(said, banned) {
			t.Errorf("the card says %q: %s", banned, said)
		}
	}
	if !c.Plain || c.Source != "" {
		t.Error("the card has numbers under its pictures or says how they were found")
	}
}

// What keeps a label a draft keeps a card from a client, or marks it: a place or a powder
// that is not for where it is worn, water that nothing preserves; a guessed list.
func TestNotYetForAClient(t *testing.T) {
	client := CardOptions{Client: true}
	for want, in := range map[string]Input{
		"bronze sparkle is not for the eye area":       {Parts: []string{"bronze sparkle=3"}, Area: "eyes"},
		"Everyday lotion is not made for the eye area": {Parts: []string{"pale gold=3"}, Area: "eyes"},
		"Everyday lotion is not made for the lips":     {Parts: []string{"pale gold=3"}, Area: "lips"},
		"There is water and no preservative":           {Parts: []string{"pale gold=3"}, Base: "recipe: water 80 %, glycerin 5, jojoba 15"},
		"Ultramarines needs a pH":                      {Parts: []string{"ultramarine blue=1"}},
	} {
		in.Skin = "tan"
		r, err := blendOf(in)
		if err != nil {
			t.Fatal(err)
		}
		b, err := r.Batch()
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(strings.Join(b.Label.EU.Draft, "; "), "to mend before it is sold") {
			t.Errorf("%s: its label is no draft", want)
		}
		if _, err := r.Card(client); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), want) {
			t.Errorf("a client's card, wanting %q: %v", want, err)
		}
		if _, _, err := SkinsBoard(context.Background(), in, []string{"light", "dark"}, client); !errors.Is(err, ErrInput) {
			t.Errorf("a client's board, wanting %q: %v", want, err)
		}
		card, err := r.Card(CardOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if pages := card.Pages(swatches.Upright); len(pages) != 2 {
			t.Errorf("%s: %d pages", want, len(pages))
		}
		board, _, err := SkinsBoard(context.Background(), in, []string{"light", "dark"}, CardOptions{})
		if err != nil || !strings.HasPrefix(board.Note, "DRAFT, not to be worn yet") {
			t.Errorf("%s: the maker's board says %q: %v", want, board.Note, err)
		}
		if said := allText(card); !strings.HasPrefix(card.Note, "DRAFT, not to be worn yet") || !strings.Contains(said, "Take care, once it may be worn: ") || !strings.Contains(said, "Not yet. ") || strings.Contains(said, "smoothed on by hand") {
			t.Errorf("%s: the maker's card says %q, %q", want, card.Note, said)
		}
	}
	both, err := Compare(context.Background(), Input{Skin: "tan", Target: "gold", Area: "eyes"}, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := both.Picture(client); !errors.Is(err, ErrInput) {
		t.Errorf("a client's comparison for the eyelids: %v", err)
	}
	if c, err := both.Picture(CardOptions{}); err != nil || !strings.HasPrefix(c.Note, "DRAFT") {
		t.Errorf("the maker's: %q, %v", c.Note, err)
	}
	guessed, err := blendOf(Input{Skin: "tan", Parts: []string{"pale gold=3"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range []CardOptions{client, {}} {
		c, err := guessed.Card(o)
		if err != nil {
			t.Fatal(err)
		}
		if said := allText(c); c.Note != "" || !strings.Contains(said, "Ingredients, a draft that is not checked") || !strings.Contains(said, "smoothed on by hand") {
			t.Errorf("a guessed list: %q, %q", c.Note, said)
		}
	}
}

// A client's drawing without a name is headed by the look, not by what her skin is
// called; where she chooses, among skins or sides, no recipe and no figure stands.
func TestClientsChoice(t *testing.T) {
	in := Input{Skin: "dark", Parts: []string{"pale gold=3"}, Illuminant: "stage"}
	r, err := blendOf(in)
	if err != nil {
		t.Fatal(err)
	}
	o := CardOptions{Shimmer: true, Client: true}
	r.Blend.Look.Name += ", darker and redder" // as of one among several
	card, err := r.Card(o)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(capital(r.ownLook()), card.Title+", "+r.Blend.GleamWord+" gleam") || !strings.HasPrefix(card.Lead, "A "+r.Blend.GleamWord+" gleam, most in the light") || strings.Contains(card.Title+card.Note+card.Lead, "darker") {
		t.Errorf("the card is headed %q, %q, %q", card.Title, card.Note, card.Lead)
	}
	for want, o := range map[bool]CardOptions{false: o, true: {Client: true}} {
		if c, err := r.Card(o); err != nil || strings.Contains(c.Lead, "flat colours, without its gleam") != want {
			t.Errorf("with a picture's gleam %t: %q %v", !want, c.Lead, err)
		}
	}
	// Her name, the look's name and its sentence, whole.
	r.setting.in.demoDancer, r.Title = "Oda", "Ember"
	named, err := r.Card(o)
	if err != nil {
		t.Fatal(err)
	}
	if named.Title != "Ember" || !strings.HasPrefix(named.Note, "For Oda") || named.Lead != r.sentence(true) {
		t.Errorf("hers is headed %q, %q, %q", named.Title, named.Note, named.Lead)
	}
	oxide, err := blendOf(Input{Skin: "tan", Parts: []string{"yellow oxide=1"}})
	if err != nil {
		t.Fatal(err)
	}
	if s := oxide.sentence(true); !strings.Contains(s, " tint without gleam") || strings.Contains(s, "oxide") {
		t.Errorf("an oxide is told as %q", s)
	}
	// Nor by its own colour, which skin has not; and there is no place but shade.
	for part, want := range map[string]string{"titanium white=2": "A lighter and greyer tint without gleam, faint.", "ultramarine blue=3": "A greyer and darker tint without gleam, plain to see.", "red oxide=1": "A terracotta tint without gleam, plain to see, redder and darker than bare skin."} {
		tint, err := blendOf(Input{Skin: "tan", Parts: []string{part}, Base: "Standing gel oil"}) // ultramarine suits no acid lotion
		if err != nil {
			t.Fatal(err)
		}
		if s := tint.sentence(true); s != want {
			t.Errorf("%s is told as %q", part, s)
		}
		if card, err := tint.Card(CardOptions{Client: true}); err != nil || !strings.HasSuffix(card.Title, " tint") || !strings.HasPrefix(card.Lead, "Without gleam, ") {
			t.Errorf("%s is headed %q, %q, %v", part, card.Title, card.Lead, err)
		}
	}
	// A look that was asked for and is not had is said on both cards.
	for _, client := range []bool{false, true} {
		for target, unlike := range map[string]bool{"violet": true, "gold": false} {
			asked, err := blendOf(Input{Skin: "light", Parts: []string{"pale gold=3"}, Target: target})
			if err != nil {
				t.Fatal(err)
			}
			card, err := asked.Card(CardOptions{Shimmer: true, Client: client})
			if err != nil {
				t.Fatal(err)
			}
			if strings.Contains(card.Lead, capital(target)+" was asked for, which this look is not.") != unlike {
				t.Errorf("for %s, client %t: %q", target, client, card.Lead)
			}
		}
	}
	skins, _, err := SkinsBoard(context.Background(), in, []string{"light", "dark"}, o)
	if err != nil {
		t.Fatal(err)
	}
	both, err := Compare(context.Background(), Input{Skin: "tan", Target: "skin:1,4,0", Illuminant: "stage"}, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	sides, err := both.Picture(o)
	if err != nil {
		t.Fatal(err)
	}
	for what, c := range map[string]*swatches.Card{"card": card, "skins": skins, "sides": sides} {
		if all := strings.Join(smallPrint(c), " "); !strings.Contains(all, "Light: stage") {
			t.Errorf("%s does not say under what light: %q", what, all)
		}
		blocks := slices.Clone(c.Blocks)
		for i := 0; i < len(blocks); i++ {
			switch b := blocks[i].(type) {
			case swatches.Text:
			case swatches.Columns:
				blocks = append(blocks, b...)
			default:
				t.Errorf("%s holds a %T", what, b)
			}
		}
		for _, row := range c.Rows {
			if len(row.Words) > 0 || strings.Contains(row.Gap, "ΔE") || !c.Plain || c.Date+c.Source != "" {
				t.Errorf("%s has figures: %+v", what, row.Words)
			}
		}
	}
}

// What is told over and under two arms is what the screen says they are seen as, though
// the powders' own grade be another; and a front has the cautions, whatever a back takes.
func TestComparedAsSeen(t *testing.T) {
	for _, c := range []struct {
		skin, target, base string
		seen               [2]string
		over, verbs        string
	}{
		{"very light", "bronze", "", [2]string{"pearl", "pearl"}, "Bronze sparkle, clear gleam, seen as pearl", ""},
		{"brown", "rose", "", [2]string{"sparkle", "pearl"}, "Rose pearl, clear gleam, seen as sparkle", "; the left glitters, the right gleams."},
		{"very light", "peach", "Quick-dry alcohol spray", [2]string{"satin", "satin"}, "", ""},
	} {
		both, err := Compare(context.Background(), Input{Skin: c.skin, Target: c.target, Base: c.base, Load: 4}, 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		if seen := [2]string{both.Warm.Blends[0].Grain, both.Cool.Blends[0].Grain}; seen != c.seen {
			t.Fatalf("%s %s is seen as %q: the case tests something else", c.skin, c.target, seen)
		}
		card, err := both.Picture(CardOptions{Shimmer: true, Client: true})
		if err != nil {
			t.Fatal(err)
		}
		gap := card.Rows[1].Gap
		if !strings.HasSuffix(gap, ".") || !strings.HasSuffix(gap, c.verbs) || (c.verbs != "") != strings.Contains(gap, "the left ") || c.over != "" && card.Rows[0].Right != c.over {
			t.Errorf("%s %s: over the left %q, under both %q", c.skin, c.target, card.Rows[0].Right, gap)
		}
		pages := card.Pages(swatches.A6)
		if front := allText(pages[0].(*swatches.Card)); c.base != "" && len(pages) != 2 || !strings.Contains(front, "Keep away from eyes and lips.") {
			t.Errorf("%s %s: %d pages, the front %q", c.skin, c.target, len(pages), front)
		}
	}
}

// A phone's card, which has no back, says what the others' backs do.
func TestPhoneCardTakesCare(t *testing.T) {
	r, err := blendOf(Input{Skin: "tan", Parts: []string{"pale gold=2"}})
	if err != nil {
		t.Fatal(err)
	}
	c, err := r.Card(CardOptions{})
	if err != nil {
		t.Fatal(err)
	}
	pages, _ := (&picture{paperIs: "phone"}).on(&Env{}, c)
	var names []string
	for _, b := range pages[0].(*swatches.Card).Blocks {
		if t, ok := b.(swatches.Text); ok {
			names = append(names, t.Name)
		}
	}
	for _, want := range []string{"How to wear it", "Ingredients, a draft that is not checked", "Take care"} {
		if len(pages) != 1 || !slices.Contains(names, want) {
			t.Errorf("%d pages, without %q: %q", len(pages), want, names)
		}
	}
}

// A sweep's colours at the four angles are those told of the blend.
func TestSweepPassesTheFourAngles(t *testing.T) {
	r, err := blendOf(Input{Skin: "dark", Parts: []string{"pale gold=3"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range r.Blend.Angles {
		if !slices.ContainsFunc(r.Blend.Sweep, func(b AngleView) bool { return b.Aspecular == a.Aspecular && b.Lab == a.Lab }) {
			t.Errorf("at %g° the sweep has another colour than the blend's %v", a.Aspecular, a.Lab)
		}
	}
}

// What is drawn beside a target is read as the target was: the look as worn is
// as far from it as the blend is told to be, on the card and on the charts, and the
// drawing says how its colours are read. A goal in the same direction must be read so
// too.
func TestDrawnAsTheTargetWasRead(t *testing.T) {
	for _, c := range []struct{ target, says string }{
		{"lab:52,14,22/di", ""}, {"#a87a55", "without gloss"}, {"lab:52,14,22/45", "45°:0°"},
	} {
		in := Input{Skin: "lab:62,11,18/di", Target: c.target, Parts: []string{"bronze=3"}}
		r, err := blendOf(in)
		if err != nil {
			t.Fatal(err)
		}
		card, err := r.Card(CardOptions{})
		if err != nil {
			t.Fatal(err)
		}
		row, drawn := &card.Rows[0], 0
		for _, l := range row.Looks {
			if strings.HasPrefix(l.Name, "smoothed") { // as the blend is worn
				drawn++
				if off := colour.DeltaE00(l.Lab, row.Target.Lab); math.Abs(off-r.Blend.DeltaE00) > 1e-9 {
					t.Errorf("%s: drawn ΔE00 %.3f from its target, told %.3f", c.target, off, r.Blend.DeltaE00)
				}
			}
		}
		if said := strings.Contains(strings.Join(smallPrint(card), "\n"), "Colours, skin"); drawn != 1 || said != (c.says != "") || !strings.Contains(strings.Join(smallPrint(card), "\n"), c.says) {
			t.Errorf("%s: %d looks as worn, %q", c.target, drawn, smallPrint(card))
		}
		if moved := colour.DeltaE00(row.Skin.Lab, r.setting.skin.Lab) > 1e-6; moved != (c.says != "") {
			t.Errorf("%s: the bare skin is drawn as %v", c.target, row.Skin.Lab)
		}
		in.See = []string{"diffuse=1@lab:50,14,22/di"}
		if _, err := blendOf(in); (err != nil) != (c.says != "") || err != nil && !strings.Contains(err.Error(), "a colour read as the target is accepted") {
			t.Errorf("%s, and a goal read with a sphere: %v", c.target, err)
		}
		d, err := r.Chart("load")
		if err != nil {
			t.Fatal(err)
		}
		if p := d.(*swatches.LoadChart); p.Target.Lab != row.Target.Lab || p.Skin.Lab != row.Skin.Lab || !strings.Contains(p.Note, c.says) {
			t.Errorf("%s: against the load %v, %v, %q", c.target, p.Target.Lab, p.Skin.Lab, p.Note)
		}
		if c.says != "without gloss" {
			continue
		}
		if d, err = r.Chart("plane"); err != nil {
			t.Fatal(err)
		}
		if p := d.(*swatches.PlaneChart); math.Abs(colour.DeltaE00(p.Blend.Lab, p.Target.Lab)-r.Blend.DeltaE00) > 1e-9 || p.Skin.Lab != row.Skin.Lab || !strings.Contains(p.Note, c.says) {
			t.Errorf("%s: on the plane %v, %v, %v, %q", c.target, p.Blend.Lab, p.Target.Lab, p.Skin.Lab, p.Note)
		}
	}
}

// Shades of one base are listed together with what not each has after "may contain"
// (Regulation (EC) No 1223/2009, article 19(1)(g)); other lists are not.
func TestOneList(t *testing.T) {
	const a, b = "Aqua, Glycerin, CI\u00a077019, CI\u00a077491", "Aqua, Glycerin, CI\u00a077019, CI\u00a077492"
	for _, c := range []struct {
		lists []string
		want  string
	}{
		{[]string{a, a}, a},
		{[]string{a, b, a}, "Aqua, Glycerin, CI\u00a077019; may contain CI\u00a077491, CI\u00a077492"},
		{[]string{a, "Glycerin, Aqua, CI\u00a077019, CI\u00a077491"}, ""},
		{[]string{a, "Aqua, CI\u00a077019"}, ""},
		{[]string{"Keep away from eyes, lips and eyes.", "Keep away from eyes, lips and eyes."}, "Keep away from eyes, lips and eyes."},
	} {
		if got := oneList(c.lists); got != c.want {
			t.Errorf("%q: %q, want %q", c.lists, got, c.want)
		}
	}
}

// A card of a batch in the book has what was weighed into it, and what a mending added;
// what is still to be weighed as it is planned.
func TestACardOfABatchHasItsGrams(t *testing.T) {
	t.Parallel()
	e := &Env{Files: Disk, Book: Book{File: filepath.Join(t.TempDir(), "book.db")}}
	if _, err := e.Save(t.Context(), BookSave{files: filesFor{face: e}, Input: Input{env: e, Skin: "deep", Parts: []string{"copper=2", "bronze=1"}, Grams: 375}}, nil); err != nil {
		t.Fatal(err)
	}
	card := func(title string, weighed bool, total float64, want map[string]float64) {
		t.Helper()
		r, _, _, err := e.batchAsMade(t.Context(), "1", Input{}, true)
		if err != nil {
			t.Fatal(err)
		}
		w, err := r.weigh()
		if err != nil {
			t.Fatal(err)
		}
		if w.Weighed != weighed || math.Abs(w.BatchGrams-total) > 1e-9 || len(w.Parts) != len(want) {
			t.Errorf("%s: weighed %t, %g g, %+v", title, w.Weighed, w.BatchGrams, w.Parts)
		}
		for _, p := range w.Parts {
			if math.Abs(p.Grams-want[p.Powder]) > 1e-9 || math.Abs(p.Percent-100*p.Grams/total) > 1e-4 {
				t.Errorf("%s: %+v, want %g g of %g", title, p, want[p.Powder], total)
			}
		}
	}
	card("planned", false, 375, map[string]float64{"copper": 7.5, "bronze": 3.75})
	if _, err := e.Book.Weigh(t.Context(), BookWeigh{BatchText: "1", Weights: []string{"copper=7.24", "bronze=3.81"}, AsPlanned: true, Yes: true}); err != nil {
		t.Fatal(err)
	}
	card("weighed", true, 374.8, map[string]float64{"copper": 7.24, "bronze": 3.81})
	if _, err := e.Correct(t.Context(), BookCorrection{BatchText: "1", Add: []string{"mulberry=3.6"}, Yes: true}); err != nil {
		t.Fatal(err)
	}
	mended := map[string]float64{"copper": 7.24, "bronze": 3.81, "mulberry": 3.6}
	card("to be mended", false, 378.4, mended)
	if _, err := e.Book.Weigh(t.Context(), BookWeigh{Correction: 1, AsPlanned: true}); err != nil {
		t.Fatal(err)
	}
	card("mended", true, 378.4, mended)
}
