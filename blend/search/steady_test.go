package search

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"

	"tawny/blend/doubt"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// How far blends move, as the ranking has it, against what package doubt works out
// with every coat computed again: it ranks them alike.
func TestMovesAsDoubted(t *testing.T) {
	powders := map[*palette.Pigment]doubt.Powder{}
	for _, g := range drawer(t).Pigments {
		d, err := doubt.OfPowder(g, film.DefaultIndex, nil)
		if err != nil {
			t.Fatal(err)
		}
		d.Residual = 0 // which is not counted here
		powders[g] = d
	}
	var quick, whole []float64
	apart, n := 0.0, seeded(150)
	for seed := range uint64(n) {
		rng := rand.New(rand.NewPCG(seed, 21))
		r := forwardCase(t, drawer(t), 700+seed).request
		r.Apply, r.Tilt = [3]float64{0.5, 1, 2}[seed%3], [3]float64{15, 10, 6}[seed%3]
		r.Geometry = [2]colour.Geometry{colour.DI, colour.At45}[seed%2]
		r, p, use, s := problemOf(t, r)
		k := &ranker{request: &r, problem: p, use: use, search: s}
		m := found{n: 3, x: [MostParts]float64{0.5, 0.3, 0.2}}
		w := film.Worn{Ground: r.Ground, Geometry: r.Geometry, Apply: r.Apply, Tilt: r.Tilt, Light: r.Light}
		for i, l := range rng.Perm(len(use))[:m.n] {
			m.index[i] = uint16(l)
			w.Parts = append(w.Parts, film.Part{Pigment: use[l], Percent: m.x[i] * r.LoadHi})
		}
		s.found = []found{m}
		u, err := k.unsteady([]candidate{{}})
		if err != nil {
			t.Fatal(err)
		}
		stated, err := doubt.Uncertainty(w, doubt.Doubts{Tilt: doubt.Usual(w).Tilt, Powders: powders})
		if err != nil {
			t.Fatal(err)
		}
		seen, err := film.Diffuse(w)
		if err != nil {
			t.Fatal(err)
		}
		lab := r.Light.Lab(&seen)
		_, _, h := colour.DeltaE00Gradient(lab, lab)
		mean := 0.0
		for i := range h {
			for j := range h {
				mean += h[i][j] / 2 * stated.Covariance[i][j]
			}
		}
		a, b := math.Sqrt(u.moves(&m)), math.Sqrt(mean)
		quick, whole = append(quick, a), append(whole, b)
		apart += math.Abs(math.Log(a/b)) / float64(n)
	}
	rank := func(list []float64) []float64 {
		sorted := slices.Sorted(slices.Values(list))
		of := make([]float64, len(list))
		for i, v := range list {
			at, _ := slices.BinarySearch(sorted, v)
			of[i] = float64(at)
		}
		return of
	}
	r := stat.Correlation(rank(quick), rank(whole), nil)
	t.Logf("%d blends: rank correlation %.3f, a factor of %.2f apart on average", n, r, math.Exp(apart))
	if r < 0.9 || math.Exp(apart) > 1.25 {
		t.Errorf("rank correlation %.3f, a factor of %.2f apart", r, math.Exp(apart))
	}
}
