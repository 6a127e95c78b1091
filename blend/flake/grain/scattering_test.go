package grain

import (
	"math"
	"testing"
)

// Scattering and Optics gather the same spheres: they agree on absorption and
// on μ_s(1 − g), whose g is the phase function's first moment.
func TestScatteringAgreesWithOptics(t *testing.T) {
	for _, g := range []Grain{{Material: "hematite", DiameterUM: 0.3}, {Material: "rutile", DiameterUM: 0.25}, {Material: "chromia", DiameterUM: 2}, {Material: "rutile", DiameterUM: 20}} {
		s, err := g.Scattering()
		if err != nil {
			t.Fatal(err)
		}
		o, err := g.Optics()
		if err != nil {
			t.Fatal(err)
		}
		for b := range s.MuS {
			if math.Abs(s.MuA[b]-o.MuA[b]) > 1e-9*o.MuA[b] {
				t.Errorf("%+v band %d: absorption %g and %g", g, b, s.MuA[b], o.MuA[b])
			}
			if reduced := s.MuS[b] * (1 - s.Moments[1][b]); math.Abs(reduced-o.MuS[b]) > 1e-8*o.MuS[b] {
				t.Errorf("%+v band %d: reduced scattering %g and %g", g, b, reduced, o.MuS[b])
			}
		}
	}
}

func BenchmarkScattering(b *testing.B) {
	for b.Loop() {
		if _, err := (Grain{Material: "hematite", DiameterUM: 0.3}).Scattering(); err != nil {
			b.Fatal(err)
		}
	}
}
