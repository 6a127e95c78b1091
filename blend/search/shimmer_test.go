package search

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
)

// shimmerCase is a seeded job that wants a gleam and a grain beside its shade, of
// some powders, to be weighed on a balance.
func shimmerCase(t testing.TB, seed uint64, powders int) Request {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 14))
	f := forwardCase(t, drawer(t), 9000+seed)
	r := f.nudged(rng, 1.5*rng.Float64())
	r.Powders = f.some(rng, powders)
	if seed%3 == 0 {
		r.LoadLo = r.LoadHi / 2
	}
	r.Equal = 1e-9 // nearest first
	r.Shimmer = &Shimmer{GleamLo: film.LeastGleam}
	if w := film.GleamWords[rng.IntN(len(film.GleamWords))]; rng.IntN(3) > 0 {
		r.Shimmer.GleamLo = w.Lo
		if !math.IsInf(w.Hi, 1) {
			r.Shimmer.GleamHi = w.Hi
		}
	}
	if rng.IntN(2) == 0 {
		r.Shimmer.Grain = film.GrainWords[rng.IntN(len(film.GrainWords))]
	}
	r.BatchGrams, r.BalanceStep = [3]float64{30, 50, 100}[rng.IntN(3)], 0.01
	return r
}

// The search for a shimmer against the slow reference that shares none of its
// shortcuts, with the rules as bounds: the nearest must agree to 0.02 ΔE00, and the
// winner be no more than EqualDeltaE farther, and then because it moves less.
func TestShimmerAgreesWithMultiStart(t *testing.T) {
	const powders, at = 8, 4
	var wished, moved [at]int
	t.Run("all", func(t *testing.T) {
		for part := range at {
			t.Run(fmt.Sprint(part), func(t *testing.T) {
				t.Parallel()
				for seed := part; seed < seeded(120); seed += at {
					wish, move := shimmerAgrees(t, shimmerCase(t, uint64(seed), powders), seed)
					if wish {
						wished[part]++
					}
					if move {
						moved[part]++
					}
				}
			})
		}
	})
	n := wished[0] + wished[1] + wished[2] + wished[3]
	if n < 10 && !testing.Short() {
		t.Errorf("the wish for a shimmer bore on %d winners only", n)
	}
	steadier := moved[0] + moved[1] + moved[2] + moved[3]
	if steadier < 10 && !testing.Short() {
		t.Errorf("only %d winners were not the nearest", steadier)
	}
	t.Logf("the wish for a shimmer bore on %d winners; %d were steadier than the nearest", n, steadier)
}

// shimmerAgrees compares one job, and reports whether the wish bore on its nearest,
// and whether another one won because it moves less.
func shimmerAgrees(t *testing.T, r Request, seed int) (wished, steadier bool) {
	t.Helper()
	r.Workers = 1
	r, err := r.WithDefaults()
	if err != nil {
		t.Fatal(err)
	}
	q := r.ruled()
	want := multiStart(t, r, q, 2, uint64(seed))
	k, err := r.settle(t.Context(), q, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := k.search.restart(t.Context()); err != nil {
		t.Fatal(err)
	}
	best := k.best()
	if got := math.Sqrt(best.f); math.Abs(got-want) > 0.02 {
		t.Errorf("seed %d (%+v): the search found √f %.4f, multi-start %.4f", seed, *r.Shimmer, got, want)
	}
	wished = k.search.wishes(best)
	nearest := *best
	r.Equal = EqualDeltaE
	blends, _, err := k.rank(t.Context())
	if err == errBare {
		return wished, false
	}
	if err != nil {
		t.Fatal(err)
	}
	won := found{n: len(blends[0].Parts), f: blends[0].Objective}
	for i, part := range blends[0].Parts {
		won.index[i], won.x[i] = uint16(slices.Index(k.use, part.Pigment)), part.Percent/r.LoadHi
	}
	seen := func(m *found) float64 { return math.Hypot(r.Distance(m.f), math.Sqrt(k.moving.moves(m))) }
	farther := r.Distance(won.f) - r.Distance(nearest.f)
	if farther > EqualDeltaE+0.001 || seen(&won) > seen(&nearest)+seenStep {
		t.Errorf("seed %d: the winner lies %.3f farther than the nearest and is thought to be seen %.2f off, the nearest %.2f", seed, farther, seen(&won), seen(&nearest))
	}
	return wished, farther > 0.02
}

// wishes reports whether a mixture would be another without the wish.
func (s *search) wishes(m *found) bool {
	w := newSolver(s.p)
	var index [MostParts]int
	for i := range m.n {
		index[i] = int(m.index[i])
	}
	x := m.x
	w.eval.choose(index[:m.n])
	return math.Abs(w.walk(&x, settled).f-m.f) > 1e-4
}

// The wish's derivatives, of the powders in a mixture and of all others, against
// differences of its value.
func TestWishGradient(t *testing.T) {
	for seed := range uint64(12) {
		r := shimmerCase(t, 100+seed, 12)
		r.Shimmer.GleamLo, r.Shimmer.GleamHi, r.Shimmer.Grain = 60, 0, film.GrainWords[2*(seed%2)]
		_, p, use, _ := posed(t, r, rules{})
		e := newEvaluator(p)
		index := make([]int, len(use))
		for i := range index {
			index[i] = i
		}
		x := [MostParts]float64{0.3, 0.3, 0.4}
		e.choose(index[:3])
		e.wishing = true
		e.all(&x)
		grad := make([]float64, len(use))
		e.foreign(grad)
		g, f := e.g, e.f
		const step = 1e-5
		for l := range use {
			subset := []int{0, 1, 2, l}
			y := x
			at := 3
			if l < 3 {
				subset, at = subset[:3], l
			}
			difference := func(by float64) float64 {
				y[at] = x[at] + by
				return e.value(&y)
			}
			e.choose(subset)
			e.wishing = true
			want := (difference(step) - difference(-step)) / (2 * step)
			if l < 3 && math.Abs(g[l]-want) > 1e-4*math.Abs(want)+1e-5*f {
				t.Errorf("seed %d: derivative by share %d is %.6g, by differences %.6g", seed, l, g[l], want)
			}
			if math.Abs(grad[l]-want) > 1e-4*math.Abs(want)+1e-5*f {
				t.Errorf("seed %d: a first trace of %s changes f by %.6g, by differences %.6g", seed, use[l].Name, grad[l], want)
			}
		}
	}
}

// Every blend of a shimmer has the gleam and the grain that were asked for, as
// Predict and Glints have them, wherever the best has; weighs five steps of every
// powder or says why not; is a third flakes; looks unlike every other of its
// list; and has a name of its own.
func TestShimmerIsWhatWasAsked(t *testing.T) {
	had := 0
	for seed := range uint64(seeded(20)) {
		r := shimmerCase(t, 400+seed, 12)
		r.Looks, r.Equal, r.Keep = true, 0, 6
		res := mustMatch(t, r)
		names := map[string]bool{}
		for i := range res.Blends {
			b := &res.Blends[i]
			w := film.Worn{Ground: r.Ground, Parts: b.Parts, Apply: r.Apply}
			l, err := LookOf(w)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(l.Gleam-b.Look.Gleam) > 1e-6 || l.Grain != b.Look.Grain || math.Abs(l.Contrast-b.Look.Contrast) > 1e-6*l.Contrast {
				t.Errorf("seed %d blend %d: looks %+v in the search, %+v predicted", seed, i, b.Look, l)
			}
			if names[b.Look.Name] {
				t.Errorf("seed %d: %q stands twice", seed, b.Look.Name)
			}
			names[b.Look.Name] = true
			for j := range i {
				if !b.Look.differs(&res.Blends[j].Look) {
					t.Errorf("seed %d: %q and %q look alike", seed, b.Look.Name, res.Blends[j].Look.Name)
				}
			}
			flakes, least := 0.0, math.Inf(1)
			says := func(what string, is bool) {
				if strings.Contains(b.Because, what) != is {
					t.Errorf("seed %d blend %d: that %s is %t, because %q", seed, i, what, is, b.Because)
				}
			}
			for _, part := range b.Parts {
				small := part.Percent*r.BatchGrams/100 < LeastSteps*r.BalanceStep*(1-1e-9)
				says(part.Pigment.Name+" is in it", OddHue(part.Pigment))
				says(part.Pigment.Name+" is less than 5 steps", small)
				if slices.Contains(b.Small, part.Pigment) != small {
					t.Errorf("seed %d blend %d: small are %v", seed, i, b.Small)
				}
				if part.Pigment.Optics.Flake {
					flakes += 100 * part.Percent / b.LoadPercent
				}
				least = math.Min(least, part.Percent*r.BatchGrams/100/r.BalanceStep)
			}
			says("over a third", 100-flakes > 100*OrdinaryShare*(1+1e-9))
			if flakes < 100*FlakeShare-1e-6 || flakes < 100*(1-OrdinaryShare)-1e-6 && b.Because == "" {
				t.Errorf("seed %d blend %d is %.0f %% flakes, because %q", seed, i, flakes, b.Because)
			}
			if least < LeastSteps-1e-6 && (b.Because == "" || len(b.Small) == 0) {
				t.Errorf("seed %d blend %d weighs %.2f steps of a powder and does not say so", seed, i, least)
			}
		}
		s := res.Request.Shimmer
		meets := func(l *Look) bool {
			return l.Gleam >= s.GleamLo-0.03 && (s.GleamHi == 0 || l.Gleam <= s.GleamHi+0.03) && (s.Grain == "" || l.Grain == s.Grain)
		}
		if meets(&res.Blends[0].Look) {
			had++
		}
	}
	t.Logf("%d of %d jobs had all they asked for", had, seeded(20))
	if had < seeded(20)/2 {
		t.Errorf("only %d of %d jobs had all they asked for", had, seeded(20))
	}
}

// Green, blue and violet powders are in an answer only where the best without
// them is over ΔE00 1 farther, and then it is said.
func TestOddHuesAreEarned(t *testing.T) {
	held := 0
	for seed := range uint64(seeded(20)) {
		rng := rand.New(rand.NewPCG(seed, 15))
		r := forwardCase(t, drawer(t), 1500+seed).nudged(rng, 2)
		r.Powders = nil
		for _, i := range rng.Perm(len(drawer(t).Pigments))[:14] {
			r.Powders = append(r.Powders, drawer(t).Pigments[i])
		}
		r.Shimmer, r.Most, r.Equal = &Shimmer{GleamLo: film.LeastGleam}, 2, 1e-9
		best := mustMatch(t, r).Blends[0]
		odd := false
		for _, part := range best.Parts {
			odd = odd || OddHue(part.Pigment)
		}
		if !odd {
			continue
		}
		held++
		var plain []*palette.Pigment
		for _, g := range r.Powders {
			if !OddHue(g) {
				plain = append(plain, g)
			}
		}
		r.Powders = plain
		without := mustMatch(t, r).Blends[0]
		if without.DeltaE00-best.DeltaE00 <= RuleWorth-0.05 || best.Because == "" {
			t.Errorf("seed %d: %v at ΔE00 %.2f, without %.2f, because %q", seed, amounts(best.Parts), best.DeltaE00, without.DeltaE00, best.Because)
		}
	}
	if held == 0 && !testing.Short() {
		t.Error("no answer held an odd hue: nothing was tested")
	}
	t.Logf("%d answers held an odd hue", held)
}
