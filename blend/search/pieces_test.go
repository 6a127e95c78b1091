package search

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tawny/blend/film"
	"tawny/blend/nnls"
	"tawny/blend/palette"
	"tawny/colour"
)

// A spectrum read in some bands follows every cubic exactly between them, goes on
// straight before and level after; and weights gathered weigh what was read as they
// would have weighed what is filled in.
func TestSparse(t *testing.T) {
	for _, s := range []*sparse{quickBands, brightBands, newSparse(1, 3, 31)} {
		rng := rand.New(rand.NewPCG(1, 81))
		var r, weight colour.Spectrum
		a, b, c, d := rng.Float64(), rng.Float64(), rng.Float64(), rng.Float64()
		cubic := func(x float64) float64 { x /= 10; return a + x*(b+x*(c+x*d)) }
		first, last := s.bands[0], s.bands[len(s.bands)-1]
		for i := range r {
			r[i], weight[i] = math.NaN(), rng.Float64()
		}
		for _, i := range s.bands {
			r[i] = cubic(float64(i))
		}
		read := r
		s.fill(&r)
		want := 0.0
		for i, got := range r {
			is := cubic(float64(i))
			switch {
			case i < first:
				is = read[first] + float64(i-first)*(read[s.bands[1]]-read[first])/float64(s.bands[1]-first)
			case i > last:
				is = read[last]
			}
			if math.Abs(got-is) > 1e-9*math.Abs(is) {
				t.Errorf("every %d: band %d is %g, want %g", s.bands[1]-first, i, got, is)
			}
			want += weight[i] * got
		}
		s.gather(&weight)
		sum := 0.0
		for i, w := range weight {
			if w != 0 {
				sum += w * read[i]
			}
		}
		if !(math.Abs(sum-want) < 1e-9*want) {
			t.Errorf("gathered %g of %g", sum, want)
		}
	}
}

// As many powders are searched as there is room for, and what is kept of a table of
// subsets is each subset's own.
func TestNarrow(t *testing.T) {
	for _, l := range []limits{{30, 100}, {45, 45}, {6, 1000}} {
		for n := 1; n < 16; n++ {
			for levels := 1; levels <= 4; levels++ {
				for k := 1; k <= levels; k++ {
					count := func(n int) (sum int) {
						for j := k; j <= levels && (k > 2 || j == k); j++ {
							sum += binomial(n, j)
						}
						return sum
					}
					most := l.larger
					if k <= 2 {
						most = l.pairs
					}
					got := l.searchable(n, k, levels)
					if got > n || got > k && count(got) > most || got < n && got >= k && count(got+1) <= most {
						t.Errorf("%+v: %d of %d for %d of %d", l, got, n, k, levels)
					}
				}
			}
		}
	}
	// Powders 0, 2, … 18 may be added beside 1; what each comes to alone is as in alone.
	s := &search{keep: settleBest, p: &problem{powders: make([]powder, 20)}, must: []int{1}}
	alone := []float64{5, 1, 8, 2, 9, 3, 7, 4, 6, 0}
	for i, f := range alone {
		s.choice = append(s.choice, 2*i)
		s.found = append(s.found, found{f: f, n: 2, index: [MostParts]uint16{1, uint16(2 * i)}})
	}
	s.found = append(s.found, found{f: 2.5, n: 2, index: [MostParts]uint16{8, 1}}) // and 8 comes nearer so
	table := make([]int32, binomial(len(alone), 2))
	name := func(a, b int) int32 { return int32(100*a + b) }
	pick := []int{0, 1}
	for rank := range table {
		table[rank] = name(s.choice[pick[0]], s.choice[pick[1]])
		advance(pick)
	}
	kept := s.narrow(2, 5, table)
	if want := []int{2, 6, 8, 10, 18}; !slices.Equal(s.choice, want) {
		t.Fatalf("%v are kept, want %v", s.choice, want)
	}
	pick = []int{0, 1}
	for rank := range kept {
		if want := name(s.choice[pick[0]], s.choice[pick[1]]); kept[rank] != want {
			t.Errorf("%d stands for %d", kept[rank], want)
		}
		advance(pick)
	}
	if len(kept) != binomial(5, 2) || !s.searches(&s.found[1]) || s.searches(&s.found[0]) {
		t.Errorf("%d kept; of those kept %t, of those left out %t", len(kept), s.searches(&s.found[1]), s.searches(&s.found[0]))
	}
	if again := s.narrow(2, 5, kept); &again[0] != &kept[0] {
		t.Error("a table that fits is made anew")
	}
	if c := (Counts{Powders: 300, Searched: 300}); c.LeftOut() != "" {
		t.Error(c.LeftOut())
	}
	if c := (Counts{Powders: 300, Searched: 134}); !strings.Contains(c.LeftOut(), "134 powders most able to help of 300") {
		t.Error(c.LeftOut())
	}
	for count, want := range map[int]int{1: 128, 1 << 21: 128, 1 << 22: 256, 3 << 22: 768} {
		if got := chunkOf(count); got != want {
			t.Errorf("%d in chunks of %d, want %d", count, got, want)
		}
	}
}

// What is done of a search grows to all of it.
func TestProgressEnds(t *testing.T) {
	for _, must := range []bool{false, true} {
		r := forwardCase(t, drawer(t), 21).request
		r.Powders, r.Most, r.Workers = r.Powders[:7], 4, 1
		if must {
			r.Choice.Must = []string{r.Powders[0].Name}
		}
		last := 0.0
		r.Progress = func(done float64) {
			if done <= last {
				t.Errorf("%g after %g", done, last)
			}
			last = done
		}
		mustMatch(t, r)
		if math.Abs(last-1) > 1e-12 {
			t.Errorf("ended at %g", last)
		}
	}
}

// A colour that readings showed the model to be off by is added before a blend is
// compared.
func TestOffsetIsAdded(t *testing.T) {
	for seed := range uint64(3) {
		f := forwardCase(t, drawer(t), 30+seed)
		r := f.request
		off := colour.Lab{L: 1.5, A: -2, B: 0.7}
		goal := &r.Targets[0]
		goal.Offset = off
		goal.Lab = colour.Lab{L: goal.Lab.L + off.L, A: goal.Lab.A + off.A, B: goal.Lab.B + off.B}
		r.Powders, r.Equal = f.some(rand.New(rand.NewPCG(seed, 3)), 3), 1e-9
		if b := mustMatch(t, r).Blends[0]; b.Objective > 1e-6 {
			t.Errorf("seed %d: a colour of three powders, off by %v, is met to √f %.4f", seed, off, math.Sqrt(b.Objective))
		}
	}
}

// What no blend fits is said with the load as it was asked for.
func TestNoBlendSaysTheLoad(t *testing.T) {
	r := forwardCase(t, drawer(t), 1).request
	r.Choice.CostPer100 = 1e-6
	for lo, want := range map[float64]string{3: "the load of 3 % and", 1: "the load between 1 and 3 % and"} {
		r.LoadLo, r.LoadHi = lo, 3
		if _, err := Match(context.Background(), r); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// A shimmer is refused, and missed, by its bounds as they are told.
func TestShimmerBounds(t *testing.T) {
	for _, c := range []struct {
		s  Shimmer
		ok bool
	}{
		{Shimmer{}, true}, {Shimmer{GleamLo: 3, GleamHi: 3}, true}, {Shimmer{GleamLo: 3}, true}, {Shimmer{GleamHi: 3, Worth: 1, Grain: film.GrainWords[0]}, true},
		{Shimmer{GleamLo: -1}, false}, {Shimmer{GleamHi: -1}, false}, {Shimmer{Worth: -1}, false}, {Shimmer{GleamLo: 3, GleamHi: 2}, false},
		{Shimmer{GleamLo: math.NaN()}, false}, {Shimmer{Grain: "coarse"}, false},
	} {
		if err := c.s.check(); (err == nil) != c.ok {
			t.Errorf("%+v: %v", c.s, err)
		}
	}
	s := &Shimmer{GleamLo: 5, GleamHi: 9, Grain: film.GrainWords[1]}
	for gleam, off := range map[float64]bool{4.94: true, 4.96: false, 7: false, 9.04: false, 9.06: true} {
		l := Look{Gleam: gleam, Grain: film.GrainWords[1]}
		if s.GleamOff(gleam) != off || len(s.Lacks(l)) > 0 != off {
			t.Errorf("a gleam of %g of 5 to 9: %v", gleam, s.Lacks(l))
		}
	}
	open := &Shimmer{GleamLo: 5}
	if open.GleamOff(1e6) || (*Shimmer)(nil).Lacks(Look{}) != nil || len(s.Lacks(Look{Gleam: 7, Grain: film.GrainWords[0]})) != 1 {
		t.Error("what is not asked for is missed, or another grain is not")
	}
	for x, want := range map[float64]float64{1: -1, 2: 0, 3: 0, 4: 0, 6: 2} {
		if got := beyond(x, [2]float64{2, 4}); got != want {
			t.Errorf("%g lies %g beyond 2 to 4", x, got)
		}
	}
}

// Two looks differ by a word or by ΔE00 3, and a blend is called by most of its
// flakes.
func TestLooks(t *testing.T) {
	l := Look{Grain: film.GrainWords[1], GleamWord: "some", Family: "gold", Light: "gold", Steep: colour.Lab{L: 60, A: 5, B: 20}}
	for name, change := range map[string]func(*Look){
		"grain": func(m *Look) { m.Grain = "" }, "gleam": func(m *Look) { m.GleamWord = "more" }, "family": func(m *Look) { m.Family = "rose" },
		"colour": func(m *Look) { m.Steep.L += 4 },
	} {
		m := l
		if change(&m); !l.differs(&m) {
			t.Errorf("another %s is no other look", name)
		}
	}
	near := l
	near.Steep.L += 2
	if l.differs(&near) || !l.Is("Gold") || l.Is("rose") {
		t.Error("looks that are the same differ")
	}
	s := Look{GleamWord: film.NoGleam, Grade: "sparkle", Grain: film.GrainWords[2]}
	if satin := (Look{GleamWord: film.NoGleam, Grade: "satin", Grain: film.GrainWords[0]}); !s.Scattered() || satin.Scattered() || l.Scattered() {
		t.Error("glints are scattered that are not, or the other way about")
	}
	flake := func(family string, d50, area float64) *palette.Pigment {
		return &palette.Pigment{Family: family, D50: d50, Optics: palette.Optics{Flake: true, FaceArea: area}}
	}
	pigment := &palette.Pigment{Family: "red"}
	var most leading
	most.meet(pigment, 5)
	if most.family != "red" || most.grade() != "" {
		t.Errorf("%+v of a pigment", most)
	}
	most.meet(flake("gold", 20, 2), 1)
	most.meet(flake("rose", 60, 1), 2)
	most.meet(pigment, 9)
	most.meet(flake("blue", 0, 1), 1.5)
	// 2 mg at 2 and 2 at 1: equal areas of 20 and of 60 µm.
	if want := math.Sqrt((20*20 + 60*60) / 2); most.family != "rose" || math.Abs(math.Sqrt(most.square/most.area)-want) > 1e-12 {
		t.Errorf("%+v, want rose flakes of %g µm", most, want)
	}
}

// What is asked of a gleam and a grain is aimed at from just inside, and what is not
// asked is no bound.
func TestWishIsAimedInside(t *testing.T) {
	lo, hi, _ := film.GrainBounds(film.GrainWords[1])
	inf := math.Inf(1)
	for _, c := range []struct {
		s            Shimmer
		gleam, grain [2]float64
	}{
		{Shimmer{}, [2]float64{-inf, inf}, [2]float64{-inf, inf}},
		{Shimmer{GleamLo: 4}, [2]float64{4.05, inf}, [2]float64{-inf, inf}},
		{Shimmer{GleamHi: 4}, [2]float64{-inf, 3.95}, [2]float64{-inf, inf}},
		{Shimmer{GleamLo: 4, GleamHi: 4}, [2]float64{4.05, 4.05}, [2]float64{-inf, inf}},
		{Shimmer{GleamLo: 4, GleamHi: 6, Worth: 2}, [2]float64{4, 6}, [2]float64{-inf, inf}},
		{Shimmer{Grain: film.GrainWords[1]}, [2]float64{-inf, inf}, [2]float64{math.Log(lo) + 0.01, math.Log(hi) - 0.01}},
	} {
		r := forwardCase(t, drawer(t), 2).request
		r.Powders, r.Shimmer = r.Powders[:2], &c.s
		r.Targets = append(r.Targets, Goal{Lab: r.Targets[0].Lab, Weight: 2})
		_, p, _, _ := problemOf(t, r)
		near := func(a, b float64) bool { return a == b || math.Abs(a-b) < 1e-9 }
		w := p.wish
		if !near(w.gleam[0], c.gleam[0]) || !near(w.gleam[1], c.gleam[1]) || !near(w.grain[0], c.grain[0]) || !near(w.grain[1], c.grain[1]) {
			t.Errorf("%+v aims at a gleam of %v and a grain of %v", c.s, w.gleam, w.grain)
		}
		weight := 3.0 // of the goals
		if c.s.Worth > 0 {
			weight *= c.s.Worth * c.s.Worth / gleamWeight
		}
		if w.binds() != (c.s != Shimmer{}) || w.grains() != (c.s.Grain != "") || math.Abs(w.weight-weight) > 1e-12 {
			t.Errorf("%+v: binds %t, grains %t, weight %g", c.s, w.binds(), w.grains(), w.weight)
		}
	}
	// Bounds out of reach come down to what there is, and a little farther.
	w := &wish{gleam: [2]float64{8, 9}, grain: [2]float64{1, 2}}
	w.reach(&within{gleam: 5, grain: 3})
	if w.gleam != [2]float64{4.5, 9} || w.grain != [2]float64{1, 3.05} {
		t.Errorf("reaching 5 and 3: %v and %v", w.gleam, w.grain)
	}
	w.reach(&within{gleam: 6, grain: 1.5})
	if w.reach(nil); w.gleam != [2]float64{4.5, 9} || w.grain != [2]float64{1, 3.05} {
		t.Errorf("what is met moved the bounds to %v and %v", w.gleam, w.grain)
	}
}

// Where the colour says nothing of the shares, the whole steps nearest them come first.
func TestFlatLattice(t *testing.T) {
	l := newLattice(3, 10, [MostParts]int{}, [MostParts]int{10, 10, 10}, [MostParts]float64{2.2, 5.1, 2.7}, &[MostParts]nnls.Vector{})
	l.search()
	if want := [MostParts]int{2, 5, 3}; len(l.best) == 0 || l.best[0].n != want {
		t.Errorf("%v first, want %v", l.best[:min(1, len(l.best))], want)
	}
}

// Without flakes there is a contrast to begin from: next to none.
func TestContrastOfNone(t *testing.T) {
	d := drawer(t)
	r := forwardCase(t, d, 2).request
	r.Powders = slices.DeleteFunc(slices.Clone(d.Pigments), func(g *palette.Pigment) bool { return g.Optics.Flake })[:2]
	r.Shimmer = &Shimmer{Grain: film.GrainWords[0]}
	_, p, _, _ := problemOf(t, r)
	e := newEvaluator(p)
	e.choose([]int{0, 1})
	e.wishing = true
	e.film(&[MostParts]float64{0.5, 0.5}, false)
	if got, want := e.logContrast(), math.Log(noSpeckle)/2-math.Log(e.brightness()); !(math.Abs(got-want) < 1e-9) {
		t.Errorf("a logarithm of %g, want %g", got, want)
	}
}

// Black pigment is spared where that is asked: what is black alone, not what is named,
// nor flakes.
func TestBlackIsSpared(t *testing.T) {
	pigment := func(ci ...string) *palette.Pigment { return &palette.Pigment{Name: "it", CI: ci} }
	flake := pigment("CI 77499")
	flake.Optics.Flake = true
	for _, c := range []struct {
		g           *palette.Pigment
		spare, want bool
	}{
		{pigment("CI 77499"), true, true}, {pigment("CI 77499", "CI 77266"), true, true}, {pigment("CI 77499"), false, false}, {pigment("CI 77499", "CI 77491"), true, false},
		{pigment(), true, false}, {flake, true, false}, {pigment("CI 77288"), false, true},
	} {
		r := &Request{Shimmer: &Shimmer{SpareBlack: c.spare}}
		if got := r.spared(c.g); got != c.want {
			t.Errorf("%v, flake %t, is spared: %t", c.g.CI, c.g.Optics.Flake, got)
		}
		r.Choice.Only = []string{"It"}
		if r.spared(c.g) {
			t.Errorf("%v is spared though named", c.g.CI)
		}
	}
	if (&Request{}).spared(pigment("CI 77499")) {
		t.Error("black is spared where no shimmer is asked")
	}
}

// A blend of which no shimmer is asked breaks no rule of one.
func TestNoRulesNoReasons(t *testing.T) {
	r := forwardCase(t, drawer(t), 4).request
	r.Powders = slices.DeleteFunc(slices.Clone(r.Powders), func(g *palette.Pigment) bool { return g.Optics.Flake })
	for _, b := range mustMatch(t, r).Blends {
		if b.Because != "" {
			t.Errorf("%v, because %q", amounts(b.Parts), b.Because)
		}
	}
}

// An update of the Hessian keeps it positive and symmetric: along the step it is what
// the gradient's change says, or where that is under a fifth of what it was, that
// much of it (Nocedal and Wright, procedure 18.2).
func TestUpdateIsDamped(t *testing.T) {
	const n = 3
	damped := 0
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 82))
		var root [n][n]float64
		var x, lastX, g, lastG [MostParts]float64
		w := &solver{}
		for i := range n {
			x[i], lastX[i], g[i], lastG[i] = rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()
			for j := range n {
				root[i][j] = rng.NormFloat64()
			}
		}
		along := func(u, v func(i int) float64) (sum float64) {
			for i := range n {
				sum += u(i) * v(i)
			}
			return sum
		}
		d := func(i int) float64 { return x[i] - lastX[i] }
		y := func(i int) float64 { return g[i] - lastG[i] }
		times := func(i int) float64 {
			return along(func(j int) float64 { return w.h[i][j] }, d)
		}
		for i := range n {
			for j := range n {
				w.h[i][j] = along(func(k int) float64 { return root[i][k] }, func(k int) float64 { return root[j][k] })
			}
		}
		was := [n]float64{times(0), times(1), times(2)}
		before, change := along(times, d), along(y, d)
		part := 1.0
		if change < 0.2*before {
			damped++
			part = 0.8 * before / (before - change)
		}
		w.update(n, &x, &lastX, &g, &lastG)
		for i := range n {
			if want := part*y(i) + (1-part)*was[i]; math.Abs(times(i)-want) > 1e-6*(1+math.Abs(want)) {
				t.Errorf("seed %d: along the step %g, want %g", seed, times(i), want)
			}
			for j := range n {
				if math.Abs(w.h[i][j]-w.h[j][i]) > 1e-6*(1+math.Abs(w.h[i][j])) {
					t.Errorf("seed %d: not symmetric", seed)
				}
			}
		}
		if after := along(times, d); math.Abs(after-math.Max(change, 0.2*before)) > 1e-6*(1+after) {
			t.Errorf("seed %d: %g along the step, which was %g, with a change of %g", seed, after, before, change)
		}
	}
	if damped < 50 || damped > 180 {
		t.Errorf("%d of 200 damped", damped)
	}
}

// A mixture that is started again ends nearer, where it stood off its optimum, and as
// near as a walk on from there at least; what is told of it is its own.
func TestAgainEndsNearer(t *testing.T) {
	for seed := range uint64(10) {
		_, p, _, s := problemOf(t, stressCase(t, drawer(t), int(seed)%kinds, 90+seed, 3))
		index := []int{0, 1, 2}
		x, ok := p.feasible(index)
		if !ok {
			t.Fatal("nothing to start from")
		}
		work, e := newSolver(p), newEvaluator(p)
		e.choose(index)
		before := e.value(&x)
		walked := work.solve(index, &x, polished, false).f
		m := found{f: before, n: 3, index: [MostParts]uint16{0, 1, 2}, x: x}
		var from [maxStarts][MostParts]float64
		if starts, _ := s.again(work, &m, math.Inf(1)); starts != 1+p.starts(index, &m.x, &from) {
			t.Errorf("seed %d: %d starts", seed, starts)
		}
		if now := e.value(&m.x); !(m.f < before-1e-6) || m.f > walked+1e-9 || math.Abs(now-m.f) > 1e-9*(1+now) || !m.settled {
			t.Errorf("seed %d: from %.6g again to %.6g, which is %.6g, walked on to %.6g", seed, before, m.f, now, walked)
		}
		// What cannot be bettered is settled as it is.
		at := m.f
		m.settled = false
		if _, better := s.again(work, &m, math.Inf(1)); better || !m.settled || m.f > at {
			t.Errorf("seed %d: %.9g again to %.9g, better %t, settled %t", seed, at, m.f, better, m.settled)
		}
	}
}

// Mixtures of every number of powders are started again: one that stands off its
// optimum comes back to it.
func TestRestartBringsBack(t *testing.T) {
	r := stressCase(t, drawer(t), fixedLoad, 95, 6)
	r.Most = 3
	_, p, _, s := problemOf(t, r)
	if err := s.run(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	s.settle(t.Context())
	e := newEvaluator(p)
	best := map[int]int{}
	for _, id := range s.order(func(*found) bool { return true }) {
		m := &s.found[id]
		if _, met := best[m.n]; met || m.n == 1 { // at a fixed load there is but one of one powder
			continue
		}
		best[m.n] = id
		index := m.subset(&[MostParts]int{})
		was := m.f
		m.x, _ = p.feasible(index)
		e.choose(index)
		if m.f = e.value(&m.x); m.f < was+1e-3 {
			t.Errorf("%v is not off its optimum", index)
		}
		defer func() {
			if math.Abs(m.f-was) > 1e-6*(1+was) {
				t.Errorf("of %d powders: f %.6g, was %.6g", m.n, m.f, was)
			}
		}()
	}
	if err := s.restart(t.Context()); err != nil {
		t.Fatal(err)
	}
	if len(best) != 2 {
		t.Errorf("mixtures of %v", best)
	}
}

// A blend just as far off as counts as equal is one of the equals.
func TestEqualIncludesItsBound(t *testing.T) {
	r := forwardCase(t, drawer(t), 6).request
	r.Powders, r.Equal = r.Powders[:8], 1e-9
	k, err := explore(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	one := candidate{delta: math.Inf(1)}
	for _, c := range k.candidates() {
		if c.count == 1 && c.delta < one.delta {
			one = c
		}
	}
	k.request.Equal = one.delta
	blends, _, err := k.rank(t.Context())
	if err != nil || len(blends[0].Parts) != 1 || blends[0].Parts[0].Pigment != k.use[one.key[0]-1] {
		t.Errorf("%v first, %v", blends, err)
	}
}
