package doubt

import (
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/skin"
)

// doubtful is a worn blend on a skin with doubts of every kind.
func doubtful(t testing.TB, skinName string, names ...string) (film.Worn, Doubts) {
	t.Helper()
	p := drawer(t)
	k, err := skin.Find(skinName)
	if err != nil {
		t.Fatal(err)
	}
	w := film.Worn{Ground: film.Ground{Reflectance: k.Reflectance}, Apply: 1, Light: colour.D65}
	d := Doubts{Apply: 0.1, Tilt: 1, Weigh: 0.01, Powders: map[*palette.Pigment]Powder{}}
	for i, n := range names {
		g, err := p.Find(n)
		if err != nil {
			t.Fatal(err)
		}
		w.Parts = append(w.Parts, film.Part{Pigment: g, Percent: 1 + float64(i)})
		if d.Powders[g], err = OfPowder(g, film.DefaultIndex, nil); err != nil {
			t.Fatal(err)
		}
	}
	for i := range 3 {
		var c colour.Spectrum
		for j := range c {
			c[j] = 0.01 * k.Reflectance[j] * math.Cos(float64(i)*math.Pi*float64(j)/colour.Bands)
		}
		d.Skin = append(d.Skin, c)
	}
	return w, d
}

// The linear 95 % ΔE00 is that of drawing every doubt at random and predicting
// each draw in full, to within a tenth (800
// draws leave about 4 % of that to chance).
func TestUncertaintyAgainstDraws(t *testing.T) {
	for _, c := range []struct {
		skin  string
		names []string
	}{
		{"light", []string{"pale gold"}},
		{"light", []string{"bronze", "warm gold satin"}},
		{"tan", []string{"blue gleam", "red oxide", "bronze"}},
		{"dark", []string{"silver white", "yellow oxide"}},
	} {
		w, d := doubtful(t, c.skin, c.names...)
		s, err := Uncertainty(w, d)
		if err != nil {
			t.Fatal(err)
		}
		middle, err := look(w)
		if err != nil {
			t.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(3, 9))
		var draws []float64
		for range 800 {
			v := w
			v.Parts = nil
			v.Tilt = film.TiltFor(w.Apply) + math.Round(rng.NormFloat64()*d.Tilt*20)/20 // few films, kept
			v.Apply *= 1 + rng.NormFloat64()*d.Apply
			for _, skinDoubt := range d.Skin {
				z := rng.NormFloat64()
				for j := range v.Ground.Reflectance {
					v.Ground.Reflectance[j] += z * skinDoubt[j]
				}
			}
			for _, p := range w.Parts {
				doubt := d.Powders[p.Pigment]
				g := *p.Pigment
				for _, change := range doubt.Changes {
					z := rng.NormFloat64()
					for j := range g.Optics.K {
						g.Optics.K[j] = max(0, g.Optics.K[j]+z*change.K[j])
						g.Optics.S[j] = max(0, g.Optics.S[j]+z*change.S[j])
					}
				}
				percent := p.Percent*(1+rng.NormFloat64()*doubt.Strength) + rng.NormFloat64()*d.Weigh
				v.Parts = append(v.Parts, film.Part{Pigment: &g, Percent: max(0, percent)})
			}
			lab, err := look(v)
			if err != nil {
				t.Fatal(err)
			}
			draws = append(draws, colour.DeltaE00(lab, middle))
		}
		sort.Float64s(draws)
		drawn := draws[len(draws)*95/100]
		t.Logf("%-6s %v: 95 %% ΔE00 %.2f, drawn %.2f; %v", c.skin, c.names, s.DeltaE95, drawn, s.Causes)
		if math.Abs(s.DeltaE95/drawn-1) > 0.1 {
			t.Errorf("%s %v: %.3f against %.3f drawn", c.skin, c.names, s.DeltaE95, drawn)
		}
	}
}

// Known answers: no doubts, no spread; one weight gives 1.96 σ; a residual
// alone gives the 95 % point of Maxwell's distribution over its mean, 2.7955 of
// a standard error of mean 1.5958, for the powder that is the whole load.
func TestUncertaintyKnownAnswers(t *testing.T) {
	w, _ := doubtful(t, "tan", "bronze")
	s, err := Uncertainty(w, Doubts{})
	if err != nil || s.DeltaE95 != 0 || len(s.Causes) != 0 {
		t.Errorf("no doubts: %+v, %v", s, err)
	}
	s, err = Uncertainty(w, Doubts{Apply: 1e-4})
	if err != nil {
		t.Fatal(err)
	}
	up := w
	up.Apply *= 1 + 1.959964e-4
	a, _ := film.Predict(w)
	up.Tilt = film.TiltFor(w.Apply)
	b, _ := film.Predict(up)
	if want := colour.DeltaE00(a.Lab, b.Lab); math.Abs(s.DeltaE95/want-1) > 1e-3 {
		t.Errorf("application alone: %g, 1.96 σ is %g", s.DeltaE95, want)
	}
	s, err = Uncertainty(w, Doubts{Powders: map[*palette.Pigment]Powder{w.Parts[0].Pigment: {Residual: 0.5}}})
	if err != nil || math.Abs(s.DeltaE95-0.5*2.79548/1.59577) > 1e-4 {
		t.Errorf("residual alone: %+v, %v", s, err)
	}
}

// A surface tilts over flakes alone, and skin's haze is not in a sphere's reading.
func TestUncertaintyOfConventions(t *testing.T) {
	for _, c := range []struct {
		powder string
		way    colour.Geometry
		want   []string
	}{
		{"bronze", colour.DE, []string{FromSurface, FromHaze}},
		{"red oxide", colour.DE, []string{FromHaze}},
		{"bronze", colour.DI, []string{FromSurface}},
		{"red oxide", colour.DI, nil},
	} {
		w, _ := doubtful(t, "dark", c.powder)
		w.Ground.Geometry = c.way
		s, err := Uncertainty(w, Doubts{Surface: film.MostSurfaceShare, Haze: skin.HazeDoubt})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, cause := range s.Causes {
			if cause.DeltaE95 > 1e-6 {
				got = append(got, cause.Name)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s, read %s: %v, want %v", c.powder, c.way, s.Causes, c.want)
		}
	}
}

// More doubt never narrows the spread, and the whole is the root of the sum of
// its causes' squares at most.
func TestUncertaintyAdds(t *testing.T) {
	w, d := doubtful(t, "brown", "pale gold", "copper")
	before := 0.0
	for _, apply := range []float64{0, 0.05, 0.1, 0.3, 0.6} {
		d.Apply = apply
		s, err := Uncertainty(w, d)
		if err != nil {
			t.Fatal(err)
		}
		squares, most := 0.0, 0.0
		for _, c := range s.Causes {
			squares += c.DeltaE95 * c.DeltaE95
			most = max(most, c.DeltaE95)
		}
		if s.DeltaE95 < before || s.DeltaE95 < most || s.DeltaE95 > math.Sqrt(squares)*1.001 {
			t.Errorf("application %g: %g after %g, causes %v", apply, s.DeltaE95, before, s.Causes)
		}
		before = s.DeltaE95
	}
}

func TestUncertaintyRefuses(t *testing.T) {
	w, _ := doubtful(t, "tan", "bronze")
	for _, d := range []Doubts{{Apply: -1}, {Apply: math.NaN()}, {Tilt: 60}, {Weigh: 200}} {
		if s, err := Uncertainty(w, d); err == nil {
			t.Errorf("%+v gave %+v", d, s)
		}
	}
	w.Apply = 0
	if _, err := Uncertainty(w, Doubts{}); err == nil {
		t.Error("nothing applied")
	}
	w, _ = doubtful(t, "dark", "bronze")
	if _, err := Uncertainty(w, Doubts{Skin: []colour.Spectrum{colour.Constant(0.2)}}); err == nil {
		t.Error("a skin doubt as deep as the skin itself")
	}
}

func BenchmarkUncertainty(b *testing.B) {
	w, d := doubtful(b, "tan", "bronze", "pale gold", "red oxide")
	for b.Loop() {
		if _, err := Uncertainty(w, d); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDoubtOf(b *testing.B) {
	g, _ := drawer(b).Find("warm gold")
	for b.Loop() {
		if _, err := OfPowder(g, film.DefaultIndex, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// A guessed flake's coat is doubted as far as its drawer says: three per cent
// leaves less than the usual guess, and that less than twice as much.
func TestGuessedCoatsDoubt(t *testing.T) {
	g, err := drawer(t).Find("pale gold")
	if err != nil {
		t.Fatal(err)
	}
	of := func(share float64) float64 {
		p := *g
		p.Source, p.Doubt = palette.Guessed, share
		d, err := OfPowder(&p, 1.45, nil)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, s := range d.Changes[0].S {
			sum += math.Abs(s)
		}
		return sum
	}
	if !(of(0.03) < of(0) && of(0) == of(guessedCoat) && of(0) < of(0.2)) {
		t.Errorf("%g at 3 %%, %g unsaid, %g at 20 %%", of(0.03), of(0), of(0.2))
	}
}
