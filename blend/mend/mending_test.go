package mend

import (
	"context"
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/colour/skin"
)

// remade is the mending that uses all powders and base, as near as can be or
// growing least, whatever may be risked.
func remade(ctx context.Context, q Request) (*Mending, *State, error) {
	if q.MaxGrowth == 0 {
		q.MaxGrowth = 0.5
	}
	if q.MaxLoad == 0 {
		q.MaxLoad = film.MaxLoad
	}
	c, err := q.begin(ctx)
	if err != nil {
		return nil, nil, err
	}
	best, err := c.remake()
	if err != nil {
		return nil, nil, err
	}
	return c.asMending(best), &c.State, nil
}

// maker makes batches with powders whose true strength is not what their data
// say, reads them and mends them.
type maker struct {
	t      *testing.T
	r      search.Request
	recipe []film.Part
	made   Batch
	truth  map[*palette.Pigment]float64
	noise  float64 // standard deviation of a reading in L*, a*, b*
	rng    *rand.Rand
	seen   []Reading
	how    Specimen
	byEye  bool
	added  int
	growth float64
}

// newMaker has a recipe of three powders for a skin from very light to dark,
// weighs it on a 0.01 g balance and makes it with strengths wrong by up to
// ± 25 %; the target is what the recipe should look like, read in a geometry.
// Loads and amounts are such that the shimmer shows: 3 to 10 % at 1 to 3 mg/cm².
func newMaker(t *testing.T, p *palette.Drawer, seed uint64, g colour.Geometry) *maker {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 81))
	presets := skin.Presets()
	load, apply := 3+7*rng.Float64(), 1+0.5*float64(rng.IntN(5)) // few amounts, so few films
	r := search.Request{Ground: film.Ground{Reflectance: presets[rng.IntN(len(presets))].Reflectance}, Geometry: g, LoadLo: load, LoadHi: load, Apply: apply}
	var parts []film.Part
	a, b := rng.Float64(), rng.Float64()
	for i, k := range rng.Perm(len(p.Pigments))[:12] {
		r.Powders = append(r.Powders, p.Pigments[k])
		if i < 3 {
			share := [3]float64{math.Min(a, b), math.Abs(a - b), 1 - math.Max(a, b)}[i]
			parts = append(parts, film.Part{Pigment: p.Pigments[k], Percent: load * share})
		}
	}
	look, err := film.Diffuse(film.Worn{Ground: r.Ground, Geometry: g, Parts: parts, Apply: apply})
	if err != nil {
		t.Fatal(err)
	}
	r.Targets = []search.Goal{{Lab: colour.D65.Lab(&look)}}
	m := &maker{t: t, r: r, recipe: parts, truth: map[*palette.Pigment]float64{}, noise: 0.15, rng: rng}
	const batch = 400.0
	m.made.BatchGrams = batch
	for _, part := range parts {
		m.made.Powders = append(m.made.Powders, Weighed{part.Pigment, math.Round(part.Percent*batch) / 100})
	}
	for _, g := range p.Pigments {
		m.truth[g] = 0.75 + 0.5*rng.Float64()
	}
	return m
}

// look is what the batch really looks like, seen some way.
func (m *maker) look(seen Specimen) colour.Lab {
	m.t.Helper()
	var parts []film.Part
	for _, part := range m.made.Parts() {
		parts = append(parts, film.Part{Pigment: part.Pigment.AtStrength(m.truth[part.Pigment]), Percent: part.Percent})
	}
	r, err := m.r.WithDefaults()
	if err != nil {
		m.t.Fatal(err)
	}
	v, err := seen.with(&r, parts)
	if err != nil {
		m.t.Fatal(err)
	}
	lab, err := v.lab(nil)
	if err != nil {
		m.t.Fatal(err)
	}
	return lab
}

// off is how far the batch really is from the target on the skin.
func (m *maker) off() float64 {
	return colour.DeltaE00(m.look(Specimen{Geometry: m.r.Geometry}), m.r.Targets[0].Lab)
}

// read looks at the batch: with an instrument, or by eye from pairs about
// what is expected, four rounds of them.
func (m *maker) read() {
	m.t.Helper()
	lab := m.look(m.how)
	if !m.byEye {
		lab.L += m.noise * m.rng.NormFloat64()
		lab.A += m.noise * m.rng.NormFloat64()
		lab.B += m.noise * m.rng.NormFloat64()
		m.seen = append(m.seen, Reading{Batch: m.made, Specimen: m.how, Lab: lab, Error: 0.2})
		return
	}
	r, err := m.r.WithDefaults()
	if err != nil {
		m.t.Fatal(err)
	}
	v, err := m.how.with(&r, m.made.Parts())
	if err != nil {
		m.t.Fatal(err)
	}
	pick, err := v.lab(nil)
	if err != nil {
		m.t.Fatal(err)
	}
	var answers []string
	for range MostAnswers {
		_, pair, _, err := Nearer(pick, answers)
		if err != nil {
			m.t.Fatal(err)
		}
		// An eye is not sure to a few tenths.
		left := colour.DeltaE00(pair.Left.Lab, lab) + 0.3*m.rng.NormFloat64()
		answers = append(answers, map[bool]string{true: "l", false: "r"}[left < colour.DeltaE00(pair.Right.Lab, lab)])
	}
	if pick, _, _, err = Nearer(pick, answers); err != nil {
		m.t.Fatal(err)
	}
	m.seen = append(m.seen, Reading{Batch: m.made, Specimen: m.how, Lab: pick, ByEye: true})
}

// mend reads, mends and adds.
func (m *maker) mend(deltaE float64) *Mending {
	m.t.Helper()
	m.read()
	c, _, err := remade(m.t.Context(), Request{Shade: m.r, Batch: m.made, Readings: m.seen, DeltaE: deltaE, MaxGrowth: 0.5, BalanceStep: 0.01, KeepGleam: true, Planned: m.recipe})
	if err != nil {
		m.t.Fatal(err)
	}
	m.made = m.made.Add(c.Additions, c.BaseGrams)
	m.added++
	m.growth = (1+m.growth)*(1+c.Growth) - 1
	return c
}

// simulate mends many makers' batches, twice at most, and returns how far
// off each was made and ended. Batches made within ΔE00 1.0 need nothing and
// are passed over; passed says how many.
func simulate(t *testing.T, cases int, how Specimen, byEye bool, goal float64) (made, ended, growth []float64, passed int) {
	t.Helper()
	p := drawer(t)
	for seed := uint64(0); len(made) < cases; seed++ {
		m := newMaker(t, p, seed, colour.Geometries[seed%4])
		m.how, m.byEye = how, byEye
		off := m.off()
		if off <= 1 {
			passed++
			continue
		}
		for m.added < 2 && m.off() > 1 {
			m.mend(goal)
		}
		made, ended, growth = append(made, off), append(ended, m.off()), append(growth, m.growth)
	}
	return made, ended, growth, passed
}

func quantile(list []float64, share float64) float64 {
	s := append([]float64(nil), list...)
	sort.Float64s(s)
	return s[min(int(share*float64(len(s))), len(s)-1)]
}

func shareWithin(list []float64, bound float64) float64 {
	n := 0
	for _, x := range list {
		if x <= bound {
			n++
		}
	}
	return float64(n) / float64(len(list))
}

// On a simulated maker whose powders are up to ± 25 % stronger or weaker than
// listed, two additions bring 95 of 100 batches within ΔE00 1.0, growing by half
// at most each: a convention of this tool, 200 seeded cases read in
// each geometry, their targets in any.
func TestMendSimulatedMaker(t *testing.T) {
	cases := seeded(200)
	for _, g := range colour.Geometries {
		t.Run(string(g), func(t *testing.T) {
			t.Parallel()
			mendSimulated(t, cases, g)
		})
	}
}

func mendSimulated(t *testing.T, cases int, g colour.Geometry) {
	made, ended, growth, passed := simulate(t, cases, Specimen{Geometry: g}, false, 0.5)
	within := shareWithin(ended, 1)
	t.Logf("%d batches (and %d more made within 1.0): made off by ΔE00 %.2f (median; 95 %% %.2f), within 1.0 after at most two additions %.1f %%, 95 %% within %.2f; grown by %.1f %% (median; 95 %% %.0f %%)",
		cases, passed, quantile(made, 0.5), quantile(made, 0.95), 100*within, quantile(ended, 0.95), 100*quantile(growth, 0.5), 100*quantile(growth, 0.95))
	if within < 0.95 {
		t.Errorf("%.1f %% within 1.0, want 95", 100*within)
	}
}

// The same read in the jar, on a white card, and by eye on the skin.
func TestMendReadElsewhere(t *testing.T) {
	cases := max(12, seeded(40))
	for _, c := range []struct {
		name   string
		seen   Specimen
		byEye  bool
		goal   float64 // ΔE00 asked for
		within float64 // ΔE00
		least  float64 // share of batches
	}{
		{"white card at 3 mg/cm²", Specimen{Where: OnWhite, Apply: 3}, false, 0.2, 1, 0.5},
		{"in the jar", Specimen{Where: InJar}, false, 0.2, 2, 0.8},
		{"by eye on the skin", Specimen{Geometry: colour.Photo}, true, 0.5, 1, 0.9},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			made, ended, _, _ := simulate(t, cases, c.seen, c.byEye, c.goal)
			within := shareWithin(ended, c.within)
			t.Logf("%s: made off by ΔE00 %.2f (median), then within 1.0 %.0f %%, within 2.0 %.0f %%, 95 %% within %.2f", c.name, quantile(made, 0.5), 100*shareWithin(ended, 1), 100*shareWithin(ended, 2), quantile(ended, 0.95))
			if within < c.least || quantile(ended, 0.5) > quantile(made, 0.5) {
				t.Errorf("%s: %.0f %% within %.1f, want %.0f %%", c.name, 100*within, c.within, 100*c.least)
			}
		})
	}
}

// aBatch is a batch made as its data say, and the request it was made for.
func aBatch(t *testing.T, seed uint64) *maker {
	t.Helper()
	m := newMaker(t, drawer(t), seed, colour.DI)
	for g := range m.truth {
		m.truth[g] = 1
	}
	m.noise = 0
	return m
}

func (m *maker) mending(deltaE, growth float64) Request {
	return Request{Shade: m.r, Batch: m.made, Readings: m.seen, DeltaE: deltaE, MaxGrowth: growth}
}

// A batch that is as it should be needs nothing, however it and its target were
// read.
func TestMendNothing(t *testing.T) {
	for seed := range uint64(16) {
		m := aBatch(t, seed)
		m.how.Geometry = colour.Geometries[seed%4]
		m.r.Geometry = colour.Geometries[seed/4]
		m.r.Targets[0].Lab = m.look(Specimen{Geometry: m.r.Geometry})
		m.read()
		if c, _, err := remade(t.Context(), m.mending(0, 0)); err != nil || c.Growth != 0 {
			t.Errorf("seed %d: grown by %g, %v", seed, c.Growth, err)
		}
		c, now, err := remade(t.Context(), m.mending(0.6, 0))
		if err != nil {
			t.Fatal(err)
		}
		if m.off() < 0.5 && (c.Growth != 0 || len(c.Additions) > 0 || c.BaseGrams > 0 || !c.Reached) {
			t.Errorf("seed %d: %+v", seed, c)
		}
		if math.Abs(now.Missing.DeltaE00-m.off()) > 1e-6 || now.Unexplained > 1e-6 {
			t.Errorf("seed %d: said to be off by %.4f, is by %.4f", seed, now.Missing.DeltaE00, m.off())
		}
	}
}

// Water lost is made good with water: nothing else comes as near. A little less
// of it will do for the last hundredth of a ΔE00. Now and then powders alone come
// as near with less growth; of twenty batches two may be such.
func TestMendEvaporation(t *testing.T) {
	others := 0
	for seed := range uint64(20) {
		m := aBatch(t, 20+seed)
		m.r.Targets[0].Lab = m.look(Specimen{})
		m.made.EvaporatedG, m.made.RemovedG = 60, 20
		m.read()
		c, _, err := remade(t.Context(), m.mending(0, 0.5))
		if err != nil {
			t.Fatal(err)
		}
		// Of the 60 g, a share left with what was taken out.
		lost := 60 * (400 - 60 - 20) / 340.0
		added := 0.0
		for _, a := range c.Additions {
			added += a.Grams
		}
		if c.WaterGrams < 0.8*lost || c.BaseGrams > 1.03*lost || c.WaterGrams > lost+1e-9 || added > 1 || c.DeltaE00 > 0.05 {
			if c.DeltaE00 <= 0.05 && c.BaseGrams+added < lost {
				others++
				continue
			}
			t.Errorf("seed %d: %.2f g of base of which %.2f g water (want %.2f), %.2f g of powders, ends off by %.3f", seed, c.BaseGrams, c.WaterGrams, lost, added, c.DeltaE00)
		}
	}
	if others > 2 {
		t.Errorf("%d of 20 batches are met without the water lost", others)
	}
}

// No batch that grows less comes within the ΔE00 asked for, and none that grows
// as much as allowed comes nearer: tried with many random additions.
func TestMendIsLeast(t *testing.T) {
	tried := 0
	for seed := uint64(0); tried < 12; seed++ {
		m := newMaker(t, drawer(t), 100+seed, colour.DI)
		m.noise = 0
		if m.off() < 1.5 {
			continue
		}
		tried++
		m.read()
		for _, goal := range []float64{0.7, 0} {
			q := m.mending(goal, 0.2)
			c, _, err := remade(t.Context(), q)
			if err != nil {
				t.Fatal(err)
			}
			// The same model of the batch, for the random additions.
			k, err := q.begin(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			limit := 0.2
			if goal > 0 && c.Reached {
				limit = c.Growth - 2e-4
			}
			g, err := k.mixture(k.own)
			if err != nil {
				t.Fatal(err)
			}
			for range 3000 {
				grow := limit * math.Pow(m.rng.Float64(), 0.3)
				added := make([]float64, len(k.own)+1) // the base last
				sum := 0.0
				for i := range added {
					if m.rng.IntN(2) == 0 {
						added[i] = m.rng.ExpFloat64()
						if i < len(k.own) {
							added[i] *= 0.1 // powders are a tenth of a batch
						}
					}
					sum += added[i]
				}
				if sum == 0 {
					continue
				}
				p := make([]float64, len(k.own))
				for i := range k.own {
					p[i] = 100 * (k.grams[i] + added[i]/sum*grow*k.left) / (k.left * (1 + grow))
				}
				off := math.Sqrt(g.Objective(p))
				if goal > 0 && c.Reached && off <= goal {
					t.Errorf("seed %d: grown by %.2f %% for ΔE00 %g, but %.2f %% does", seed, 100*c.Growth, goal, 100*grow)
					break
				}
				if (goal == 0 || !c.Reached) && off < c.DeltaE00-0.02 {
					t.Errorf("seed %d: nearest ΔE00 %.3f, but %.3f is to be had", seed, c.DeltaE00, off)
					break
				}
			}
		}
	}
}

// What no strength explains, a skin that reads otherwise, is carried along: the
// additions aim the batch as read, not as modelled, at the target.
func TestMendCarriesTheOffset(t *testing.T) {
	m := aBatch(t, 300)
	lab := m.look(Specimen{})
	lab.L, lab.B = lab.L+6, lab.B-4
	seen := Reading{Batch: m.made, Lab: lab, Error: 3} // a doubtful reading moves strengths little
	c, now, err := remade(t.Context(), Request{Shade: m.r, Batch: m.made, Readings: []Reading{seen}, MaxGrowth: 1, NewPowders: 2})
	if err != nil {
		t.Fatal(err)
	}
	if d := colour.DeltaE00(now.Lab, lab); d > 1e-9 {
		t.Errorf("the batch as it stands is put at %v, read as %v", now.Lab, lab)
	}
	look, err := film.Predict(film.Worn{Ground: m.r.Ground, Parts: c.Parts, Apply: m.r.Apply})
	if err != nil {
		t.Fatal(err)
	}
	if d := colour.DeltaE00(plus(look.Lab, now.Offset), m.r.Targets[0].Lab); math.Abs(d-c.DeltaE00) > 1e-9 || now.Unexplained < 0.5 {
		t.Errorf("ends off by %.4f, said %.4f; unexplained %.2f", d, c.DeltaE00, now.Unexplained)
	}
	if c.DeltaE00 > now.Missing.DeltaE00/2 {
		t.Errorf("off by %.2f before, %.2f after", now.Missing.DeltaE00, c.DeltaE00)
	}
}

// What is carried along is only for what was read: not towards the lamp, nor under
// another light, nor from where the batch was not worn as it will be.
func TestOffsetWhereItWasRead(t *testing.T) {
	m := aBatch(t, 301)
	at := m.r.Targets[0].Lab
	m.r.Targets = []search.Goal{{Lab: at}, {Lab: at, Aspecular: 45}, {Lab: at, Viewing: film.StageView()}, {Lab: at, Viewing: colour.D65}}
	lab := m.look(Specimen{})
	lab.L += 6
	for where, seen := range map[Where]Specimen{OnSkin: {}, OnWhite: {Where: OnWhite, Apply: 3}} {
		q := Request{Shade: m.r, Batch: m.made, Readings: []Reading{{Batch: m.made, Specimen: seen, Lab: lab, Error: 3}}}
		c, err := q.begin(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for i, g := range c.Shade.Targets {
			carried := where == OnSkin && (i == 0 || i == 3)
			if (g.Offset != colour.Lab{}) != carried || carried && g.Offset != c.Offset {
				t.Errorf("read on %s, goal %d: offset %v of %v", where, i, g.Offset, c.Offset)
			}
		}
	}
}

// Strengths are learnt: from readings on white card, thick and thin, exactly enough.
func TestMendLearnsStrengths(t *testing.T) {
	m := newMaker(t, drawer(t), 5, colour.DI)
	m.noise = 0
	for _, how := range []Specimen{{Where: OnWhite, Apply: 2}, {Where: OnWhite, Apply: 0.5}, {}} {
		m.how = how
		m.read()
		m.seen[len(m.seen)-1].Error = 0.02
	}
	_, now, err := remade(t.Context(), m.mending(0.5, 1))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range now.Strengths {
		if math.Abs(s.Factor/m.truth[s.Pigment]-1) > 0.03 {
			t.Errorf("%s: %.3f, truly %.3f", s.Pigment.Name, s.Factor, m.truth[s.Pigment])
		}
	}
}

func TestMendRefuses(t *testing.T) {
	m := aBatch(t, 1)
	m.read()
	for name, change := range map[string]func(*Request){
		"nothing read":      func(q *Request) { q.Readings = nil },
		"no batch":          func(q *Request) { q.Batch.BatchGrams = 0 },
		"no powders":        func(q *Request) { q.Batch.Powders = nil },
		"a drawdown of 0":   func(q *Request) { q.Readings[0].Specimen.Where = OnWhite },
		"seen nowhere":      func(q *Request) { q.Readings[0].Specimen.Where = "mirror" },
		"reading NaN":       func(q *Request) { q.Readings[0].Lab.A = math.NaN() },
		"all evaporated":    func(q *Request) { q.Batch.EvaporatedG = 400 },
		"all taken out":     func(q *Request) { q.Batch.RemovedG = 400 },
		"negative growth":   func(q *Request) { q.MaxGrowth = -1 },
		"ΔE00 NaN":          func(q *Request) { q.DeltaE = math.NaN() },
		"three new powders": func(q *Request) { q.NewPowders = 3 },
		"the same twice":    func(q *Request) { q.Batch.Powders = append(q.Batch.Powders, q.Batch.Powders[0]) },
	} {
		q := m.mending(0.5, 0)
		q.Readings = append([]Reading(nil), m.seen...)
		q.Batch.Powders = append([]Weighed(nil), m.made.Powders...)
		change(&q)
		if _, _, err := remade(t.Context(), q); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// Answers of an eye that knows lead to the colour, from as far off as batches are:
// after a round nearer than before, after four to what an eye tells.
func TestNearerLeadsToTheColour(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 15))
	expected := colour.Lab{L: 55, A: 14, B: 18}
	var before, after, last float64
	const n = 200
	for range n {
		truth := colour.Lab{L: expected.L + 2.5*rng.NormFloat64(), A: expected.A + 2.5*rng.NormFloat64(), B: expected.B + 2.5*rng.NormFloat64()}
		var answers []string
		before += colour.DeltaE00(expected, truth)
		for i := range MostAnswers {
			_, pair, whole, err := Nearer(expected, answers)
			if err != nil || whole != (i > 0 && i%3 == 0) || math.Abs(colour.DeltaE00(pair.Left.Lab, pair.Right.Lab)-2*pair.DeltaE00) > 0.5*pair.DeltaE00 {
				t.Fatalf("%v: %+v, whole %v, %v", answers, pair, whole, err)
			}
			answers = append(answers, map[bool]string{true: "l", false: "r"}[colour.DeltaE00(pair.Left.Lab, truth) < colour.DeltaE00(pair.Right.Lab, truth)])
			if i == 2 {
				at, _, _, _ := Nearer(expected, answers)
				after += colour.DeltaE00(at, truth)
			}
		}
		at, _, whole, err := Nearer(expected, answers)
		if err != nil || !whole {
			t.Fatal(whole, err)
		}
		last += colour.DeltaE00(at, truth)
	}
	t.Logf("mean ΔE00 %.2f before, %.2f after a round, %.2f after four", before/n, after/n, last/n)
	if after > 0.75*before || last > 0.4*before {
		t.Errorf("mean ΔE00 %.2f before, %.2f after a round, %.2f after four", before/n, after/n, last/n)
	}
	for _, bad := range [][]string{{"up"}, make([]string, MostAnswers+1)} {
		if _, _, _, err := Nearer(expected, bad); err == nil {
			t.Errorf("%v was accepted", bad)
		}
	}
	if at, _, _, err := Nearer(expected, []string{"s", "s", "s"}); err != nil || at != expected {
		t.Errorf("answers of no difference lead to %v, %v", at, err)
	}
}

// What may grow more comes at least as near, but for the 0.01 that no base is
// worth adding for.
func TestMoreGrowthIsNeverWorse(t *testing.T) {
	t.Parallel()
	p := drawer(t)
	for seed := range uint64(12) {
		m := newMaker(t, p, seed, colour.Photo)
		l, err := ParseLooks(m.words(m.look(Specimen{Geometry: colour.Photo}), m.r.Targets[0].Lab)+", dull", m.r.Targets[0].Lab)
		if err != nil {
			continue
		}
		m.seen = []Reading{{Batch: m.made, Specimen: Specimen{Geometry: colour.Photo}, Lab: l.Lab, ByEye: true}}
		left, by := math.Inf(1), 0.0
		for _, grow := range []float64{0.05, 0.1, 0.15, 0.2, 0.4, 1} {
			found, err := Options(t.Context(), Request{Shade: m.r, Batch: m.made, Readings: m.seen, BalanceStep: 0.01, NewPowders: int(seed % 2), MaxGrowth: grow})
			if err != nil {
				t.Fatal(err)
			}
			now := found.Missing.DeltaE00
			if n := len(found.Options); n > 0 {
				now = found.Options[n-1].DeltaE00
			}
			if now > left+0.01 {
				t.Errorf("seed %d: ΔE00 %.3f growing by at most %g, %.3f by %g", seed, now, grow, left, by)
			}
			left, by = now, grow
		}
	}
}

// Where each mends a quarter of what is wrong more than the smaller one, three are
// offered: two bits of powders and a remake.
func TestThreeAreOffered(t *testing.T) {
	for _, seed := range []uint64{73, 156, 189} {
		m := newMaker(t, drawer(t), seed, colour.DI)
		m.made.EvaporatedG = float64(seed%3) * 15
		m.read()
		found, err := Options(t.Context(), Request{Shade: m.r, Batch: m.made, Readings: m.seen, BalanceStep: 0.01, NewPowders: 1})
		if err != nil || len(found.Options) != 3 {
			t.Errorf("seed %d: %d offered, %v", seed, len(found.Options), err)
			continue
		}
		left, growth := found.Missing.DeltaE00, 0.0
		for i, o := range found.Options {
			if bit := len(o.Additions) == 1 && o.BaseGrams == 0; bit != (i < 2) || o.Growth <= growth || o.DeltaE00 > left-leastGain*found.Missing.DeltaE00+1e-9 {
				t.Errorf("seed %d: option %d grows by %g to ΔE00 %.3f, after %g and %.3f: %+v", seed, i+1, o.Growth, o.DeltaE00, growth, left, o.Additions)
			}
			left, growth = o.DeltaE00, o.Growth
		}
	}
}
