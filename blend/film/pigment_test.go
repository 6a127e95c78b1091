package film

import (
	"testing"

	"tawny/blend/flake/grain"
	"tawny/colour"
)

// A phase function whose peak ahead is cut off reads like the whole one, less
// what the cut light would have gone on as.
func TestCutPeakReadsAlike(t *testing.T) {
	f, err := New(Lay{Index: 1.47, TiltDeg: 10})
	if err != nil {
		t.Fatal(err)
	}
	white := colour.Constant(0.9)
	for _, g := range []float64{0.5, 0.7, 0.9} {
		k, s, forward := colour.Constant(3), colour.Constant(4), colour.Constant(g)
		whole, cut := Grains(&k, &s, peaked(&forward)), Grains(&k, &s, grain.HenyeyGreenstein(g))
		for _, way := range []colour.Geometry{colour.DI, colour.At45} {
			r, err := f.Reader(way)
			if err != nil {
				t.Fatal(err)
			}
			under, err := f.Ground(way, &white)
			if err != nil {
				t.Fatal(err)
			}
			for _, mass := range []float64{0.02, 0.3, 3} {
				var a, b colour.Spectrum
				r.Read(&a, nil, &under, []*Prepared{r.Prepare(whole)}, []float64{mass})
				r.Read(&b, nil, &under, []*Prepared{r.Prepare(cut)}, []float64{mass})
				if d := offBy(a[0], b[0], veil); d > 0.4 {
					t.Errorf("g %g, %s, %g mg/cm²: %.4f whole, %.4f cut", g, way, mass, a[0], b[0])
				}
			}
		}
	}
}

// The lobe measured of three pearl and gold paints, through published fits (from
// memory; whose they are was looked for and not found): at 45°
// aspecular 0.10 to 0.12 of the light at 15°, at 25° 0.48 to 0.57. Slopes spread
// alike every way, as here, cannot have both at once: the first wants flakes
// within 6.3 to 6.8° of flat, the second 5.2 to 6.1°. The film is thin and black
// beneath, so that the lobe is the flakes' own.
func TestMeasuredLobe(t *testing.T) {
	gold, err := drawer(t).Find("pale gold")
	if err != nil {
		t.Fatal(err)
	}
	powder := PowderOf(&gold.Optics)
	at := func(tilt, deg float64) float64 {
		f, err := New(Lay{Index: 1.47, TiltDeg: tilt})
		if err != nil {
			t.Fatal(err)
		}
		r, err := f.Angle(deg)
		if err != nil {
			t.Fatal(err)
		}
		return r.Band(17, &Under{}, []*Prepared{r.Prepare(powder)}, []float64{0.05}, nil)
	}
	for _, c := range []struct{ deg, low, high, from, to float64 }{{45, 0.10, 0.12, 6.3, 6.8}, {25, 0.48, 0.57, 5.2, 6.1}} {
		tilt := func(share float64) float64 {
			low, high := 3.0, 10.0
			for range 12 {
				if mid := (low + high) / 2; at(mid, c.deg)/at(mid, 15) < share {
					low = mid
				} else {
					high = mid
				}
			}
			return low
		}
		low, high := tilt(c.low), tilt(c.high)
		t.Logf("%g°: %g to %g of the light at 15° by flakes within %.2f to %.2f° of flat", c.deg, c.low, c.high, low, high)
		if low < c.from || high > c.to {
			t.Errorf("%g°: flakes within %.2f to %.2f° of flat, want %g to %g", c.deg, low, high, c.from, c.to)
		}
	}
}
