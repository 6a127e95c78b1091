package film

import (
	"testing"

	"tawny/colour"
)

// No powder of the drawer takes light away, over black and in the jar, however its
// grains throw it.
func TestBuiltinPowdersOverBlack(t *testing.T) {
	var readers []*Reader
	for _, lay := range []Lay{{1.47, 10, 0, 0}, {1.47, 15, 10, 0}} {
		readers = append(readers, allReaders(t, mustFilm(t, lay))...)
	}
	still := mustFilm(t, Lay{1.47, 10, 0, 0})
	for _, g := range drawer(t).Pigments {
		powder := PowderOf(&g.Optics)
		for i, r := range readers {
			laid := []*Prepared{r.Prepare(powder)}
			for mass := 0.001; mass <= 30; mass *= 2 {
				for b := range colour.Bands {
					if got := r.Band(b, &Under{}, laid, []float64{mass}, nil) - r.Gloss(&Under{}); !(got >= 0) {
						t.Fatalf("%s, reader %d, %g mg/cm², %g nm: %.5f", g.Name, i, mass, colour.WavelengthNM(b), got)
					}
				}
			}
			laid[0] = r.Prepare(still.Stirred(powder))
			for b, got := range r.Infinite(laid, []float64{1}) {
				if !(got >= r.gloss) {
					t.Fatalf("%s, reader %d, jar, %g nm: %.5f", g.Name, i, colour.WavelengthNM(b), got)
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
