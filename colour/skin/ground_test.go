package skin

import (
	"errors"
	"math"
	"testing"

	"tawny/colour"
)

// Fresnel's reflection at 0° is ((n − 1)/(n + 1))²; at 45° and n = 1.5 it is
// 0.0502 (tables; from memory). Diffuse: 0.092 for n = 1.5 (Judd 1942) and
// 0.066 for water, 1.33 (both from memory), and the integral 2∫F(μ)μ dμ.
func TestSurfaceIsPublishedFresnel(t *testing.T) {
	if got := fresnel(1.5, 0); math.Abs(got-0.04) > 1e-15 {
		t.Errorf("n = 1.5 square on: %.6f, want 0.04", got)
	}
	if got := fresnel(1.5, 45); math.Abs(got-0.0502) > 1e-4 {
		t.Errorf("n = 1.5 at 45°: %.4f, want 0.0502", got)
	}
	for _, row := range []struct{ n, r float64 }{{1.5, 0.0918}, {1.33, 0.0660}} {
		if got := colour.DiffuseFresnel(row.n); math.Abs(got-row.r) > 1e-3 {
			t.Errorf("n = %g: diffuse %.4f, published %.4f", row.n, got, row.r)
		}
	}
	for _, n := range []float64{1.33, 1.40, 1.47, 1.55} {
		const steps = 2000
		sum := 0.0
		for i := range steps {
			a := (float64(i) + 0.5) / steps * 90
			sum += fresnel(n, a) * math.Sin(2*a*math.Pi/180) * math.Pi / 2 / steps
		}
		if got := colour.DiffuseFresnel(n); math.Abs(got-sum) > 1e-6 {
			t.Errorf("n = %g: closed form %.8f, integral %.8f", n, got, sum)
		}
	}
}

// fresnel is the reflection at an angle from the normal, in degrees.
func fresnel(n, degrees float64) float64 { return colour.Fresnel(n, math.Cos(degrees*math.Pi/180)) }

// bare is what an instrument reads of a ground under a surface, written out
// again from the definition; a sphere collects with the diffuse reflection.
func bare(g colour.Geometry, ground, haze, n float64) float64 {
	f := func(degrees float64) float64 { return fresnel(n, degrees) }
	out := 1 - colour.DiffuseFresnel(n)
	in, mirror := 1-f(0), fresnel(1.40, 0)
	if g != colour.Photo {
		in, mirror = 1-f(8), fresnel(1.40, 8)
	}
	if g == colour.At45 {
		in, out, mirror = 1-f(45), 1-f(0), fresnel(1.40, 45)
	}
	k := 1 - (1-colour.DiffuseFresnel(n))/(n*n)
	return haze*mirror + in*out*ground/(n*n*(1-k*ground))
}

func TestGroundIsWhatWasRead(t *testing.T) {
	for _, row := range []struct {
		g    colour.Geometry
		haze float64
	}{{colour.DI, 1}, {colour.DE, 0.35}, {colour.At45, 0.35}, {colour.Photo, 0}} {
		for _, n := range []float64{1.33, 1.45, 1.47, 1.55} {
			var r, want colour.Spectrum
			for i := range r {
				want[i] = 0.02 + 0.9*float64(i)/colour.Bands
				r[i] = bare(row.g, want[i], row.haze, n)
			}
			s, err := SurfaceOf(row.g, n, HazeShare)
			if err != nil {
				t.Fatal(err)
			}
			got, share, err := s.Below(&r)
			if err != nil || share != 1 {
				t.Errorf("%s, n %g: share %g of the mirror; %v", row.g, n, share, err)
			}
			if back := s.Read(&got, share); colour.RMS(&back, &r) > 1e-14 {
				t.Errorf("%s, n %g: not read back", row.g, n)
			}
			if d := colour.RMS(&got, &want); d > 1e-12 {
				t.Errorf("%s, n %g: off by %.2g", row.g, n, d)
			}
		}
	}
}

// Where the whole share would leave nothing below the surface it is lowered,
// by no more than it takes, and told; what no surface reads has no ground.
func TestGroundOfTheDarkest(t *testing.T) {
	s, err := SurfaceOf(colour.DI, 1.47, HazeShare)
	if err != nil {
		t.Fatal(err)
	}
	for _, least := range []float64{0.0295, 0.02, 0.01, 0.002, 0.001, 1e-6} {
		r := colour.Constant(0.05)
		r[4] = least
		ground, share, err := s.Below(&r)
		if err != nil {
			t.Errorf("least %g: %v", least, err)
		}
		if want := math.Max(0, (least-LeastBelow)/fresnel(1.40, 8)); math.Abs(share-want) > 1e-12 || share >= 1 {
			t.Errorf("least %g: share %.4f, want %.4f", least, share, want)
		}
		for i, x := range ground {
			if !(x > 0 && x < 1) {
				t.Errorf("least %g: ground %g in band %d", least, x, i)
			}
		}
	}
	bright := colour.Constant(1)
	if _, _, err := s.Below(&bright); !errors.Is(err, ErrReading) {
		t.Errorf("a reflectance of 1: %v", err)
	}
}

// One skin read in two geometries has one spectrum below its surface.
func TestGeometriesAgreeOnTheGround(t *testing.T) {
	for _, p := range Presets() {
		want := under(t, colour.DI, &p.Reflectance)
		for _, g := range []colour.Geometry{colour.DE, colour.At45, colour.Photo} {
			scale, offset := fromIncluded(g)
			var read colour.Spectrum
			for i, x := range p.Reflectance {
				read[i] = scale*x + offset
			}
			got := under(t, g, &read)
			if d := colour.RMS(&got, &want); d > 1e-12 {
				t.Errorf("%s, %s: the ground differs by %.2g", p.Name, g, d)
			}
		}
	}
}

func under(t *testing.T, g colour.Geometry, r *colour.Spectrum) colour.Spectrum {
	t.Helper()
	s, err := SurfaceOf(g, SurfaceIndex, HazeShare)
	if err != nil {
		t.Fatal(err)
	}
	below, _, err := s.Below(r)
	if err != nil {
		t.Fatal(err)
	}
	return below
}
