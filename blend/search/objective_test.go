package search

import (
	"math"
	"math/rand/v2"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// gradientProblem has flakes and diffuse powders, two lights, two directions
// and a spectral part, so that every term of the objective is exercised.
func gradientProblem(rng *rand.Rand) *problem {
	f, err := film.Kept(film.Lay{Index: 1.47, TiltDeg: 10})
	if err != nil {
		panic(err)
	}
	p := &problem{film: &layer{film: f}, mass: 0.5, sumHi: 1, limitHi: math.Inf(1)}
	for _, deg := range []float64{0, 15, 75} {
		reader, err := f.Reader(colour.DI)
		if deg > 0 {
			reader, err = f.Angle(deg)
		}
		if err != nil {
			panic(err)
		}
		p.film.readers = append(p.film.readers, reader)
	}
	p.quick, p.goals = p.film, len(p.film.readers)
	smooth := func(low, high float64) (s colour.Spectrum) {
		a, b, c := rng.Float64(), 6*rng.Float64(), 0.5+0.5*rng.Float64()
		for j := range s {
			s[j] = low + (high-low)*c*(0.5+0.5*math.Sin(6*a+b*float64(j)/colour.Bands))
		}
		return s
	}
	p.under = film.Under{Below: smooth(0.1, 0.8), Mirror: 1}
	var use []*palette.Pigment
	for i := range 8 {
		g := &palette.Pigment{Optics: palette.Optics{K: smooth(0, 0.4), S: smooth(0.01, 0.6), Flake: i%2 == 1, FaceArea: 1.2}}
		use, p.powders = append(use, g), append(p.powders, powder{hi: 1})
	}
	p.prepare(use, nil, new(Memory))
	lab := func() colour.Lab {
		return colour.Lab{L: 50 + 10*rng.NormFloat64(), A: 10 + 5*rng.NormFloat64(), B: 15 + 5*rng.NormFloat64()}
	}
	p.views = []view{
		{channel: 0, viewing: colour.D65, target: lab(), weight: 1, offset: colour.Lab{L: 1.5, A: -2, B: 0.7}},
		{channel: 0, viewing: film.StageView(), target: lab(), weight: 0.5},
		{channel: 1, viewing: colour.D65, target: lab(), weight: 0.2},
		{channel: 2, viewing: film.StageView(), target: lab(), weight: 0.7},
	}
	p.band = &bandTarget{r: smooth(0.1, 0.7), weight: 0.3}
	return p
}

// The analytic gradient, both of the subset's own shares and of powders not in
// it, against central differences.
func TestObjectiveGradient(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for n := 0; n < 50; n++ {
		p := gradientProblem(rng)
		e := newEvaluator(p)
		x := [MostParts]float64{0.2, 0.1, 0.3, 0.05}
		e.choose([]int{1, 2, 5, 6})
		e.all(&x)
		f, g := e.f, e.g
		if v := e.value(&x); math.Abs(v-f) > 1e-9*f {
			t.Fatalf("value %v, all %v", v, f)
		}
		e.all(&x)
		foreign := make([]float64, len(p.powders))
		e.foreign(foreign)
		all := [MostParts]float64{}
		for i, k := range []int{1, 2, 5, 6} {
			all[k] = x[i]
			if math.Abs(foreign[k]-g[i]) > 1e-9*(1+math.Abs(g[i])) {
				t.Fatalf("foreign gradient of a member %v, own %v", foreign[k], g[i])
			}
		}
		e.choose([]int{0, 1, 2, 3, 4, 5, 6, 7})
		const h = 1e-5
		for k := range p.powders {
			up, down := all, all
			up[k] += h
			down[k] -= h
			want := (e.value(&up) - e.value(&down)) / (2 * h)
			if math.Abs(foreign[k]-want) > 1e-4*(1+math.Abs(want)) {
				t.Errorf("case %d: ∂f/∂share %d = %.8g, differences give %.8g", n, k, foreign[k], want)
			}
		}
	}
}

func TestObjectiveDoesNotAllocate(t *testing.T) {
	p := gradientProblem(rand.New(rand.NewPCG(1, 1)))
	s := newSolver(p)
	p.sumLo = 1
	index := []int{0, 1, 4, 6}
	x, _ := p.feasible(index)
	if n := testing.AllocsPerRun(20, func() { s.solve(index, &x, settled, false) }); n != 0 {
		t.Errorf("a solve allocates %v times", n)
	}
}
