package job

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tawny/blend/batch"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/colour/skin"
	"tawny/testdata/demo"
)

// The warm and the cool version of a target are both shimmer, on every preset and
// every demo dancer; alike in gleam and grain, or told where not; each nearer its own side; at least
// ΔE00 3 apart.
func TestWarmAndCool(t *testing.T) {
	var cases []Input
	for _, p := range skin.Presets() {
		cases = append(cases, Input{Skin: p.Name, Target: "skin:1,4,0", Load: 4, Most: 2})
	}
	for _, d := range demo.Dancers() {
		in, err := Input{Skin: d.Name, demo: true}.Demo()
		if err != nil {
			t.Fatal(err)
		}
		cases = append(cases, in)
	}
	for _, skin := range []string{"light", "dark"} {
		cases = append(cases, Input{Skin: skin, Target: "soft rose", Load: 3})
	}
	for _, in := range cases {
		r, err := Compare(t.Context(), in, 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		warm, cool := &r.Warm.Blends[0], &r.Cool.Blends[0]
		name := in.Skin + in.demoDancer
		if in.Target == "soft rose" && (!strings.Contains(warm.Look.Name, "rose") || warm.Because+cool.Because != "" || warm.Overall > 1) {
			t.Errorf("%s: a warm rose is %s, ΔE00 %.2f off, because %q", in.Skin, warm.names(), warm.Overall, warm.Because)
		}
		if r.Between < 3 {
			t.Errorf("%s: warm and cool are ΔE00 %.2f apart", name, r.Between)
		}
		if c, err := r.Picture(CardOptions{}); err != nil || !strings.Contains(strings.Join(smallPrint(c), " "), r.Warm.Target.Words+"; "+r.Cool.Target.Words) {
			t.Errorf("%s: the picture's foot says %q, %v", name, smallPrint(c), err)
		}
		if (warm.GleamWord != cool.GleamWord || warm.Grain != cool.Grain) && len(r.Cool.GivenUp) == 0 {
			t.Errorf("%s: warm is a %s, cool a %s", name, warm.Look.Name, cool.Look.Name)
		}
		for _, side := range []struct {
			b          *BlendView
			own, other *MatchResult
		}{{warm, r.Warm, r.Cool}, {cool, r.Cool, r.Warm}} {
			if side.b.Gleam < film.LeastGleam-0.03 || side.b.Covered < 0.01 {
				t.Errorf("%s: %s gleams %.2f and covers %.3f", name, side.b.names(), side.b.Gleam, side.b.Covered)
			}
			if own, far := colour.DeltaE00(side.b.Lab, side.own.Target.Lab), colour.DeltaE00(side.b.Lab, side.other.Target.Lab); own >= far {
				t.Errorf("%s: %s is ΔE00 %.2f from its own side, %.2f from the other", name, side.b.names(), own, far)
			}
			for _, p := range side.b.parts {
				if search.OddHue(p.Pigment) && side.b.Because == "" {
					t.Errorf("%s: %s, and it is not said why", name, side.b.names())
				}
			}
		}
	}
}

// Two hundred jobs for small batches on two balances: no sheet says stop.
func TestNothingTooSmallToWeigh(t *testing.T) {
	drawer, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	presets, jobs := skin.Presets(), 200
	if testing.Short() {
		jobs = 10
	}
	for seed := range uint64(jobs) {
		rng := rand.New(rand.NewPCG(seed, 21))
		in := Input{
			Skin: presets[rng.IntN(len(presets))].Name, Keep: 1, Most: 2,
			Grams: [3]float64{30, 50, 100}[rng.IntN(3)], Balance: [2]float64{0.01, 0.1}[rng.IntN(2)],
			Target: shadeWords[rng.IntN(6)].word,
		}
		least := max(1, 20*in.Balance/in.Grams*100)
		in.Load = least + 4*rng.Float64()
		for _, i := range rng.Perm(len(drawer.Pigments))[:8] {
			in.Only = append(in.Only, drawer.Pigments[i].Name)
		}
		m, err := Match(t.Context(), in, nil)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		best := m.one(1)
		b, err := best.Batch()
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for _, f := range b.Findings {
			if f.Severity == batch.Stop && slices.Contains(in.Only, f.About) {
				t.Errorf("seed %d, %g g on %g g: %s", seed, in.Grams, in.Balance, f.Text)
			}
		}
		for _, p := range best.Blend.Parts {
			if steps := p.Percent / 100 * in.Grams / in.Balance; steps < search.LeastSteps-1e-6 && len(best.Blend.Premix) == 0 {
				t.Errorf("seed %d: %s weighs %.1f steps without a premix, because %q", seed, p.Powder, steps, best.Blend.Because)
			}
		}
	}
}

// A shade in trade words is one its own powders reach on every skin, by a blend that
// looks so, and rich lies farther from the skin than plain, plain than soft.
func TestShadesInWordsAreReached(t *testing.T) {
	for _, p := range skin.Presets() {
		in := Input{Skin: p.Name, Load: 3}
		s, err := in.open()
		if err != nil {
			t.Fatal(err)
		}
		bare := s.viewing.Lab(&s.skin.Reflectance)
		for _, w := range shadeWords[:6] {
			var away [3]float64
			for i, how := range [3]string{"soft ", "", "rich "} {
				target, err := s.target(how + w.word)
				if err != nil {
					t.Fatal(err)
				}
				away[i] = colour.DeltaE00(bare, target.view.Lab)
			}
			if !(away[0] < away[1] && away[1] < away[2]) {
				t.Errorf("%s on %s: soft, plain and rich are ΔE00 %.2f from the skin", w.word, p.Name, away)
			}
		}
		for _, w := range []string{"soft rose", "gold", "rich bronze"} {
			one := in
			one.Target, one.Keep = w, 5
			m, err := Match(t.Context(), one, nil)
			if err != nil {
				t.Fatal(err)
			}
			best := &m.Blends[0]
			if best.Overall > 1 {
				t.Errorf("%s on %s is ΔE00 %.2f off", w, p.Name, best.Overall)
			}
			family, _, _ := shadeWord(w)
			if look, _, _ := strings.Cut(best.Look.Name, ","); !strings.Contains(look, family) && !strings.Contains(best.Because, "not the one asked for") {
				t.Errorf("%s on %s is answered first with a %s", w, p.Name, best.Look.Name)
			}
			nearest := m.Front[len(m.Front)-1].Overall
			for _, b := range m.Blends[1:] {
				if w == "soft rose" && strings.Contains(b.Look.Name, "rose") && b.Overall <= nearest+m.Conditions.EqualWithin && b.Gleam < best.Gleam-search.GleamShown && best.GleamWord != film.GleamWords[0].Name {
					t.Errorf("%s on %s is a %s first, though no. %d is a %s", w, p.Name, best.Look.Name, b.Rank, b.Look.Name)
				}
			}
		}
	}
	// A drawer that has no such look says so.
	m, err := Match(t.Context(), Input{Skin: "tan", Load: 3, Target: "rose", Keep: 1, Only: []string{"satin veil", "warm gold satin", "red oxide"}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if best := &m.Blends[0]; !strings.Contains(best.Because, "not the one asked for") {
		t.Errorf("rose of no rose powder is a %s, because %q", best.Look.Name, best.Because)
	}
	if _, err := (Input{}).wanted(); err != nil {
		t.Error(err)
	}
	for _, bad := range []string{"shiny", "4", "6..2", "a..b", "-1..3"} {
		if _, err := (Input{Gleam: bad}).wanted(); err == nil {
			t.Errorf("gleam %q is accepted", bad)
		}
	}
}
