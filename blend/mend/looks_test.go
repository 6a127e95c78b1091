package mend

import (
	"math"
	"strings"
	"testing"

	"tawny/blend/film"
	"tawny/colour"
)

// A word is as far from what was wanted as it says, the way it says.
func TestParseLooks(t *testing.T) {
	wanted := colour.Lab{L: 55, A: 12, B: 20}
	for text, want := range map[string]float64{
		"too pink": 2.2, "pink": 2.2, "A little  too dark": 1, "much too strong": 4.5, "far too strong": 4.5, "it came out too rosy": 2.2, "a bit too pink": 1, "slightly dark": 1, "too yellow": 2.2, "sparkly": 0, "too flat": 0,
	} {
		l, err := ParseLooks(text, wanted)
		if err != nil || math.Abs(colour.DeltaE00(l.Lab, wanted)-want) > 1e-6 {
			t.Errorf("%q: %v, ΔE00 %.3f, %v", text, l, colour.DeltaE00(l.Lab, wanted), err)
		}
	}
	// Each the way it says: of L*, a*, b* and C*, up, down, or not at all (2 is any).
	for word, way := range map[string][4]float64{
		"pink": {0, 1, -1, 2}, "red": {0, 1, 0, 2}, "green": {0, -1, 0, 2}, "yellow": {0, 0, 1, 1}, "blue": {0, 0, -1, 2}, "purple": {0, 1, -1, 2}, "light": {1, 0, 0, 0}, "dark": {-1, 0, 0, 0},
		"strong": {0, 1, 1, 1}, "dull": {0, -1, -1, -1}, "sparkly": {0, 0, 0, 0},
	} {
		l, err := ParseLooks(word, wanted)
		d := less(l.Lab, wanted)
		for i, moved := range []float64{d.L, d.A, d.B, l.Lab.LCh().C - wanted.LCh().C} {
			if sign := math.Round(moved*1e6) / 1e6; way[i] != 2 && (sign > 0) != (way[i] > 0) || way[i] != 2 && (sign < 0) != (way[i] < 0) || err != nil {
				t.Errorf("%s moves %v, %v", word, d, err)
			}
		}
		if turn := colour.HueTurn(wanted.LCh().H, l.Lab.LCh().H); (word == "strong" || word == "dull") && math.Abs(turn) > 1e-6 {
			t.Errorf("%s turns the hue by %g", word, turn)
		}
	}
	for text, want := range map[string]float64{"too flat": 1.4, "flat": 1.4, "a little too sparkly": 1 / 1.15, "red, much too sparkly": 0.5, "too red": 0} {
		if l, err := ParseLooks(text, wanted); err != nil || math.Abs(l.GleamBy-want) > 1e-9 {
			t.Errorf("%q: gleam by %g, want %g; %v", text, l.GleamBy, want, err)
		}
	}
	l, err := ParseLooks("too pink, a little dark", wanted)
	if err != nil || l.Lab.A <= wanted.A || l.Lab.L >= wanted.L {
		t.Errorf("%v, %v", l, err)
	}
	for _, bad := range []string{"", "too mauve", "too red, too green", "too pink, too green", "green, pink", "light, a little dark", "red, red", "purple, yellow", "sparkly, flat", "very pink"} {
		if _, err := ParseLooks(bad, wanted); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
	if _, err := ParseLooks("too mauve", wanted); !strings.Contains(err.Error(), "pink, red, yellow, blue, purple, green, light, dark, strong, dull, sparkly, flat") {
		t.Error(err)
	}
}

// words are what an eye with its noise says of a batch, "" where it sees
// nothing wrong.
func (m *maker) words(batch, wanted colour.Lab) string {
	// Noise of an eye side by side, about ΔE00 0.7 in all (a guess).
	dL := batch.L - wanted.L + 0.5*m.rng.NormFloat64()
	dA := batch.A - wanted.A + 0.5*m.rng.NormFloat64()
	dB := batch.B - wanted.B + 0.5*m.rng.NormFloat64()
	var list []string
	for _, axis := range []struct {
		by       float64
		up, down string
	}{{dA, "pink", "green"}, {dB, "yellow", ""}, {dL, "light", "dark"}} {
		word, by := axis.up, math.Abs(axis.by)
		if axis.by < 0 {
			word = axis.down
		}
		switch {
		case word == "" || by < 1:
		case by < 2.2:
			list = append(list, "a little too "+word)
		case by < 4.5:
			list = append(list, "too "+word)
		default:
			list = append(list, "much too "+word)
		}
	}
	return strings.Join(list, ", ")
}

// Eyes alone, three looks at most and the nearest of the small additions each
// time, of a powder the batch has none of where its own give none, end within ΔE00
// 2 in 90 of 100 batches, and none worse than it was made. (Of 300 batches of
// other seeds one or two end worse, by ΔE00 0.1 at most: an eye may miss what the
// words leave out, and there is no word for too blue.)
func TestSmallByEye(t *testing.T) {
	t.Parallel()
	p := drawer(t)
	var made, ended []float64
	cases, offered := max(30, seeded(300)), 0
	for seed := uint64(0); len(made) < cases; seed++ {
		m := newMaker(t, p, seed, colour.Photo)
		off := m.off()
		if off <= 1 {
			continue
		}
		m.seen = nil
		for range 3 {
			text := m.words(m.look(Specimen{Geometry: colour.Photo}), m.r.Targets[0].Lab)
			if text == "" {
				break
			}
			l, err := ParseLooks(text, m.r.Targets[0].Lab)
			if err != nil {
				t.Fatal(err)
			}
			m.seen = append(m.seen, Reading{Batch: m.made, Specimen: Specimen{Geometry: colour.Photo}, Lab: l.Lab, ByEye: true})
			var found *Found
			for fresh := 0; fresh <= 1 && (found == nil || len(found.Options) == 0); fresh++ {
				found, err = Options(t.Context(), Request{Shade: m.r, Batch: m.made, Readings: m.seen, BalanceStep: 0.01, KeepGleam: true, Planned: m.recipe, NewPowders: fresh})
				if err != nil {
					t.Fatal(err)
				}
			}
			list := found.Options
			if len(list) == 0 {
				break
			}
			offered++
			before := found.Missing.DeltaE00
			load := 0.0
			for _, part := range m.made.Parts() {
				load += part.Percent
			}
			growth := 0.0
			for _, c := range list {
				after := 0.0
				for _, part := range c.Parts {
					after += part.Percent
				}
				if c.Growth > UsualGrowth+1e-9 || c.Growth <= growth || after > load+MoreLoad+1e-6 || c.DeltaE00 > before {
					t.Errorf("seed %d: grown by %g, load %g of %g, ΔE00 %.2f of %.2f", seed, c.Growth, after, load, c.DeltaE00, before)
				}
				worn, err := film.Diffuse(film.Worn{Ground: m.r.Ground, Geometry: m.r.Geometry, Parts: c.Parts, Apply: m.r.Apply})
				if err != nil {
					t.Fatal(err)
				}
				if at := plus(colour.D65.Lab(&worn), found.Offset); colour.DeltaE00(at, c.Lab) > 1e-6 || math.Abs(colour.DeltaE00(at, m.r.Targets[0].Lab)-c.DeltaE00) > 1e-6 {
					t.Errorf("seed %d: said to be %v then, is %v", seed, c.Lab, at)
				}
				for _, a := range c.Additions {
					if a.Grams < 0.05-1e-9 {
						t.Errorf("seed %d: %g g cannot be weighed", seed, a.Grams)
					}
				}
				before, growth = c.DeltaE00, c.Growth
			}
			last := list[len(list)-1]
			m.made = m.made.Add(last.Additions, last.BaseGrams)
		}
		made, ended = append(made, off), append(ended, m.off())
	}
	worse := 0
	for i := range made {
		if ended[i] > made[i] {
			worse++
		}
	}
	t.Logf("%d batches made off by ΔE00 %.2f (median; 95 %% %.2f), after looks %.2f (95 %% %.2f), within 2 %.1f %%; %d worse than made; %d times something was offered",
		cases, quantile(made, 0.5), quantile(made, 0.95), quantile(ended, 0.5), quantile(ended, 0.95), 100*shareWithin(ended, 2), worse, offered)
	// A tenth of the makers is too few to tell a share by.
	if !testing.Short() && shareWithin(ended, 2) < 0.9 || worse > 0 {
		t.Errorf("within 2: %.1f %%; %d worse", 100*shareWithin(ended, 2), worse)
	}
}
