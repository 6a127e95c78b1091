package mend

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
)

// Of 200 g with 10 of gold, 20 g of water lost leaves 180 at 5.56 %; of that 30 g
// taken out leaves 150 with 8.33 g of gold (by hand).
func TestBatchStands(t *testing.T) {
	gold, red := &palette.Pigment{Name: "gold"}, &palette.Pigment{Name: "red"}
	b := Batch{Powders: []Weighed{{gold, 10}, {red, 2}}, BatchGrams: 200, EvaporatedG: 20, RemovedG: 30}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s is %g, want %g", what, got, want)
		}
	}
	near("what is left", b.Grams(), 150)
	near("gold, per cent", b.Parts()[0].Percent, 1000.0/180)
	near("red, per cent", b.Parts()[1].Percent, 200.0/180)
	blue := &palette.Pigment{Name: "blue"}
	next := b.Add([]Addition{{red, 1, false}, {blue, 0.5, true}}, 8.5)
	near("after additions", next.Grams(), 160)
	if len(next.Powders) != 3 || next.EvaporatedG != 0 || next.RemovedG != 0 {
		t.Fatalf("%+v", next)
	}
	for i, want := range []float64{10 * 150.0 / 180, 2*150.0/180 + 1, 0.5} {
		near(next.Powders[i].Pigment.Name, next.Powders[i].Grams, want)
	}
	parts, err := b.partsOf([]*palette.Pigment{blue, red, gold})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0, 200.0 / 180, 1000.0 / 180} {
		near("by place", parts[i].Percent, want)
	}
	if _, err := b.partsOf([]*palette.Pigment{gold}); err == nil {
		t.Error("a batch with a powder more is taken")
	}
	for what, change := range map[string]func(*Batch){
		"more lost than there is":  func(b *Batch) { b.EvaporatedG = 188 },
		"all of it taken":          func(b *Batch) { b.RemovedG = 180 },
		"negative powder":          func(b *Batch) { b.Powders[0].Grams = -1 },
		"nothing but no powder":    func(b *Batch) { b.Powders = []Weighed{{gold, 0}} },
		"a powder without a name":  func(b *Batch) { b.Powders[0].Pigment = nil },
		"a batch too large to be":  func(b *Batch) { b.BatchGrams = 2e9 },
		"water gained":             func(b *Batch) { b.EvaporatedG = -1 },
		"put in, not taken out":    func(b *Batch) { b.RemovedG = -1 },
		"a batch of no number":     func(b *Batch) { b.BatchGrams = math.NaN() },
		"one powder on two lines":  func(b *Batch) { b.Powders[1].Pigment = gold },
		"a powder of no number":    func(b *Batch) { b.Powders[1].Grams = math.NaN() },
		"no powder on any line":    func(b *Batch) { b.Powders = nil },
		"all lost but the powders": func(b *Batch) { b.BatchGrams, b.EvaporatedG = 32, 20 },
	} {
		bad := b
		bad.Powders = []Weighed{{gold, 10}, {red, 2}}
		change(&bad)
		if bad.Check() == nil {
			t.Errorf("%s is taken", what)
		}
	}
}

// Of a powder no more goes in than is there: where the batch is to be kept to the
// stock, none of what there is none of; else what is not known is enough.
func TestMendKeepsToTheStock(t *testing.T) {
	m := goldOn(t, "brown")
	added := func(stock, inStock float64) (most float64) {
		gold := *m.made.Powders[0].Pigment
		gold.StockG = stock
		found, err := m.told("too flat", func(q *Request) {
			q.Batch.Powders = []Weighed{{&gold, m.made.Powders[0].Grams}, m.made.Powders[1]}
			q.Readings[0].Batch = q.Batch
			q.Planned, q.Shade.Choice.InStock = q.Batch.Parts(), inStock
		})
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range found.Options {
			for _, a := range o.Additions {
				if a.Pigment == &gold {
					most = math.Max(most, a.Grams)
				}
			}
		}
		return most
	}
	if got := added(0, 0); got < 1 {
		t.Errorf("%g g of gold, of which any amount is there", got)
	}
	if got := added(1.5, 0); got > 1.5 || got < 1 {
		t.Errorf("%g g of gold, of which 1.5 is there", got)
	}
	if got := added(0, 200); got != 0 {
		t.Errorf("%g g of gold, of which there is none", got)
	}
}

// Powders alone, where no base may go in: as they can be weighed, and as much as
// helps.
func TestMendWithoutBase(t *testing.T) {
	helped := 0
	for _, preset := range []string{"light", "brown", "dark"} {
		m := goldOn(t, preset)
		for _, looks := range []string{"too light", "a little too dark", "too flat", "too sparkly"} {
			found, err := m.told(looks, func(q *Request) { q.NoBase, q.NewPowders, q.MaxLoad = true, 1, 8 })
			if err != nil {
				t.Fatal(err)
			}
			for _, o := range found.Options {
				helped++
				if o.BaseGrams != 0 || o.WaterGrams != 0 || len(o.Additions) == 0 {
					t.Errorf("%s, %s: %+v", preset, looks, o)
				}
				if len(o.Additions) > 1 {
					helped += 100
				}
			}
		}
	}
	if helped < 104 {
		t.Errorf("helped %d times", helped)
	}
}

// Without a balance much smaller amounts count, and help at least as much.
func TestMendWithoutBalance(t *testing.T) {
	m := goldOn(t, "brown")
	fine, err := m.told("a little too flat", func(q *Request) { q.BalanceStep = 0 })
	if err != nil {
		t.Fatal(err)
	}
	coarse, err := m.told("a little too flat", func(q *Request) { q.BalanceStep = 0.1 })
	if err != nil {
		t.Fatal(err)
	}
	if len(fine.Options) == 0 || len(coarse.Options) == 0 {
		t.Fatalf("%d and %d ways", len(fine.Options), len(coarse.Options))
	}
	a, b := fine.Options[0].Additions[0].Grams, coarse.Options[0].Additions[0].Grams
	if math.Abs(a-b) > 0.1+2.0/60 || math.Abs(b/0.1-math.Round(b/0.1)) > 1e-6 || b < 0.5-1e-9 {
		t.Errorf("%g g without a balance, %g g on one of 0.1 g", a, b)
	}
}

// What can be weighed comes as near as each amount rounded to its nearest step.
func TestMendRoundsToTheNearest(t *testing.T) {
	tried := 0
	for seed := range uint64(30) {
		m := newMaker(t, drawer(t), 700+seed, colour.DI)
		m.read()
		q := m.mending(0, 0.2)
		q.MaxLoad = film.MaxLoad
		c, err := q.begin(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		whole, err := c.remake()
		if err != nil || whole.growth == 0 {
			continue
		}
		c.BalanceStep = 0.2
		got, err := c.rounded(whole)
		if err != nil {
			t.Fatal(err)
		}
		nearest := func(g float64) float64 {
			if steps := math.Round(g / c.BalanceStep); steps >= leastSteps {
				return steps * c.BalanceStep
			}
			return 0
		}
		// What is rounded up to be weighed at all is worth it.
		for i, g := range got.use {
			if more := got.grams[i] - c.had(g); more > 0 && whole.grams[i]-c.had(g) < 4.5*c.BalanceStep {
				mix, err := c.mixture(got.use)
				if err != nil {
					t.Fatal(err)
				}
				b := got
				b.grams = slices.Clone(got.grams)
				b.grams[i] -= more
				b.growth -= more / c.left
				if c.judge(mix, &b, math.Inf(1)); b.delta < got.delta+search.EqualDeltaE-1e-9 {
					t.Errorf("seed %d: %.2f g of %s for ΔE00 %.3f, %.3f without", seed, more, g.Name, got.delta, b.delta)
				}
			}
		}
		plain := answer{use: whole.use, base: nearest(whole.base)}
		plain.growth = plain.base / c.left
		for i, g := range whole.use {
			more := nearest(whole.grams[i] - c.had(g))
			plain.grams = append(plain.grams, c.had(g)+more)
			plain.growth += more / c.left
		}
		if plain.growth > c.MaxGrowth {
			continue
		}
		tried++
		mix, err := c.mixture(whole.use)
		if err != nil {
			t.Fatal(err)
		}
		c.judge(mix, &plain, math.Inf(1))
		if got.delta > plain.delta+1e-9 {
			t.Errorf("seed %d: ΔE00 %.4f, %.4f with each amount at its nearest step", seed, got.delta, plain.delta)
		}
		// Within a ΔE00 that this is within too, it grows no more.
		c.DeltaE = plain.delta + 0.01
		if got, err = c.rounded(whole); err != nil || c.none.delta > c.DeltaE && (got.delta > c.DeltaE || got.growth > plain.growth+1e-9) {
			t.Errorf("seed %d: ΔE00 %.3f by %.4f, %.3f is to be had by %.4f; %v", seed, got.delta, got.growth, plain.delta, plain.growth, err)
		}
		// Nor more than is there.
		for i, g := range whole.use {
			g.StockG = math.Floor((whole.grams[i]-c.had(g))/c.BalanceStep)*c.BalanceStep + 1e-6 // a copy, as strong as it turned out
		}
		if got, err = c.rounded(whole); err != nil {
			t.Fatal(err)
		}
		for i, g := range got.use {
			if more := got.grams[i] - c.had(g); more > g.StockG+1e-9 {
				t.Errorf("seed %d: %.3f g more of %s, of which there is %.3f", seed, more, g.Name, g.StockG)
			}
		}
	}
	if tried < 10 {
		t.Errorf("%d tried", tried)
	}
}

// A batch without gleam cannot be too sparkly, and is told so by nothing to mend;
// too flat it wants some flakes.
func TestGleamOfNone(t *testing.T) {
	m := goldOn(t, "tan")
	m.made.Powders = m.made.Powders[1:]
	m.recipe = m.made.Parts()
	m.r.Targets = []search.Goal{{Lab: m.predicted(m.recipe).Lab}}
	if f, err := m.told("too sparkly", nil); err != nil || !f.Right() {
		t.Errorf("%+v, %v", f, err)
	}
	f, err := m.told("too flat", func(q *Request) { q.NewPowders = 1 })
	if err != nil || len(f.Options) == 0 || !f.Options[0].Additions[0].Pigment.Optics.Flake {
		t.Errorf("%+v, %v", f, err)
	}
}

// Where the whole of a remake would make something worse that the batch may look
// like, a smaller one or a part of it may not, and is what it is said to be; no
// quarter of the remake comes nearer.
func TestPartOfARemake(t *testing.T) {
	parts := 0
	for seed := range uint64(40) {
		m := newMaker(t, drawer(t), 900+seed, colour.Photo)
		m.noise = 0
		m.read()
		m.seen[0].Error = EyeError
		c, err := m.mending(0, UsualGrowth).begin(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		whole, err := c.remake()
		if err != nil {
			t.Fatal(err)
		}
		a, err := c.careful()
		if err != nil {
			t.Fatal(err)
		}
		if c.safe(whole) || !c.safe(a) {
			continue
		}
		parts++
		mix, err := c.mixture(a.use)
		if err != nil {
			t.Fatal(err)
		}
		again := a
		c.judge(mix, &again, math.Inf(1))
		if share := a.growth / whole.growth; math.Abs(again.delta-a.delta) > 1e-9 || again.lab != a.lab || share >= 1 {
			t.Errorf("seed %d: %.2f of the remake, ΔE00 %.3f, is %.3f", seed, share, a.delta, again.delta)
		}
		for share := 0.25; share < 1; share += 0.25 {
			if b, err := c.partOf(whole, share); err != nil || c.safe(b) && b.delta < a.delta-0.01-1e-9 {
				t.Errorf("seed %d: ΔE00 %.3f, %.3f by %.2f of the remake; %v", seed, a.delta, b.delta, share, err)
			}
		}
	}
	if parts < 3 {
		t.Errorf("%d remakes in part", parts)
	}
}

// Of readings drawn anew about what was read, what is offered makes worse no more than
// one in ten (one in 20 where ΔE00 is even), and little that would help is kept back:
// of batches read off by ΔE00 1.2 or more that a way would halve, were the reading
// exact, nine in ten are offered one that does.
func TestDoubtOfAReading(t *testing.T) {
	rng := rand.New(rand.NewPCG(95, 100))
	offered, helped, halved := 0, 0, 0
	for seed := range uint64(120) {
		m := newMaker(t, drawer(t), 5000+seed, colour.Geometries[seed%4])
		m.noise = InstrumentError / math.Sqrt(3)
		m.how.Geometry = colour.Geometries[seed/4%4]
		m.read()
		m.seen[0].Error = 0
		q := m.mending(0, 0)
		q.BalanceStep = 0.01
		found, err := Options(t.Context(), q)
		if err != nil {
			t.Fatal(err)
		}
		target := m.r.Targets[0].Lab
		var metric [3]float64
		for k, unit := range []colour.Lab{{L: 1}, {A: 1}, {B: 1}} {
			metric[k] = m.noise / colour.DeltaE00(found.Lab, plus(found.Lab, unit))
		}
		for _, o := range found.Options {
			offered++
			worse := 0
			for range 1000 {
				truth := plus(found.Lab, colour.Lab{L: metric[0] * rng.NormFloat64(), A: metric[1] * rng.NormFloat64(), B: metric[2] * rng.NormFloat64()})
				if colour.DeltaE00(plus(truth, less(o.Lab, found.Lab)), target) > colour.DeltaE00(truth, target) {
					worse++
				}
			}
			if worse > 100 {
				t.Errorf("seed %d: %+v makes %d of 1000 worse", seed, o.Additions, worse)
			}
		}
		off := found.Missing.DeltaE00
		q.Readings = []Reading{m.seen[0]}
		q.Readings[0].Error = 0.01
		sure, err := Options(t.Context(), q)
		if err != nil {
			t.Fatal(err)
		}
		half := func(f *Found) bool {
			return slices.ContainsFunc(f.Options, func(o *Mending) bool { return o.DeltaE00 <= off/2 })
		}
		if off >= 1.2 && half(sure) {
			helped++
			if half(found) {
				halved++
			}
		}
	}
	t.Logf("%d offered; of %d that could be halved %d are", offered, helped, halved)
	if offered < 60 || helped < 25 || 10*halved < 9*helped {
		t.Errorf("%d offered; of %d that could be halved %d are", offered, helped, halved)
	}
}

// A third of a remake that does most of what it does is offered before it, and no more
// than three in all.
func TestRougherIsOffered(t *testing.T) {
	thirds := 0
	for seed := range uint64(40) {
		m := newMaker(t, drawer(t), seed, colour.DI)
		m.made.EvaporatedG = 15
		m.read()
		q := m.mending(0, 0)
		q.BalanceStep, q.NewPowders = 0.01, 1
		found, err := Options(t.Context(), q)
		if err != nil {
			t.Fatal(err)
		}
		n := len(found.Options) - 1
		if n > 2 {
			t.Errorf("seed %d: %d offered", seed, n+1)
		}
		if n < 1 {
			continue
		}
		rough, whole := found.Options[n-1], found.Options[n]
		if len(rough.Additions) == 0 || len(rough.Additions) == 1 && rough.BaseGrams == 0 {
			continue // a bit
		}
		thirds++
		if math.Abs(rough.Growth/whole.Growth-1.0/3) > 0.02 || rough.DeltaE00 > (found.Missing.DeltaE00+whole.DeltaE00)/2 {
			t.Errorf("seed %d: ΔE00 %.2f, %.2f by %.2g, %.2f by %.2g", seed, found.Missing.DeltaE00, rough.DeltaE00, rough.Growth, whole.DeltaE00, whole.Growth)
		}
	}
	if thirds < 4 {
		t.Errorf("%d thirds of a remake", thirds)
	}
}
