package film

import (
	"math"
	"math/rand/v2"
	"testing"

	"tawny/colour"
)

// Each powder's glints light a spot by L m, Poisson many of them: their variance is
// (L m)² over their number m n/u, here of beams and lobe as a picture has them. By
// each mass it goes as it differs.
func TestVarianceOfGlints(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 29))
	f := mustFilm(t, Lay{1.47, 10, 0, 0})
	s, err := f.Speckle()
	if err != nil {
		t.Fatal(err)
	}
	powders := make([]*Powder, 3)
	for i := range powders {
		powders[i] = sample(rng, true)
		powders[i].FaceArea = 2 + float64(i)
	}
	ready := s.View.prepare(powders)
	coarse, mass := []float64{0.02, 0.05, 0}, []float64{0.1, 0.03, 0.2}
	by := make([]float64, 3)
	got := s.Variance(ready, coarse, mass, by, ready, coarse)

	var diffuse colour.Spectrum
	beams := make([]colour.Spectrum, 3)
	s.View.Parts(&diffuse, beams, &Under{}, ready, mass)
	want := 0.0
	for i, c := range coarse {
		light := 0.0
		for b, y := range colour.D65.Weights()[1] {
			light += y / 100 * beams[i][b] * f.Lobe(s.scene.in, s.scene.out)
		}
		want += light * light * c / mass[i]
	}
	holds(t, "variance by its mean", got/want, 1, 1e-9)

	for _, lay := range []Lay{{1.47, 10, 0, 0}, {1.47, 10, 5, 0}} { // one facet, and many
		if s, err = mustFilm(t, lay).Speckle(); err != nil {
			t.Fatal(err)
		}
		ready = s.View.prepare(powders)
		clear(by)
		s.Variance(ready, coarse, mass, by, ready, coarse)
		for i := range mass {
			const h = 1e-5
			was := mass[i]
			mass[i] = was + h
			more := s.Variance(ready, coarse, mass, nil, nil, nil)
			mass[i] = was - h
			less := s.Variance(ready, coarse, mass, nil, nil, nil)
			mass[i] = was
			slope := (more - less) / (2 * h)
			holds(t, "slope", by[i], slope, 1e-6*math.Abs(slope)+1e-12)
		}
	}
	if v := s.Variance(ready, []float64{0, 0, 0}, mass, nil, nil, nil); v != 0 {
		t.Errorf("what cannot be counted varies by %g", v)
	}
}
