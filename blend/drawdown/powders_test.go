package drawdown

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// Invented powders of the kinds a drawer holds, K and S in cm²/mg.
func powders() map[string]palette.Optics {
	shape := func(f func(nm float64) (k, s float64)) (p palette.Optics) {
		for j := range p.K {
			p.K[j], p.S[j] = f(colour.WavelengthNM(j))
		}
		return p
	}
	step := func(nm, at, width float64) float64 { return 1 / (1 + math.Exp((nm-at)/width)) }
	flake := func(p palette.Optics) palette.Optics { p.Flake = true; return p }
	return map[string]palette.Optics{
		"white":  shape(func(nm float64) (float64, float64) { return 0.02 + 3*step(nm, 385, 8), 9 - (nm-380)/90 }),
		"red":    shape(func(nm float64) (float64, float64) { return 0.3 + 14*step(nm, 575, 14), 2 + 3*step(-nm, -590, 30) }),
		"yellow": shape(func(nm float64) (float64, float64) { return 0.2 + 8*step(nm, 505, 18), 3 }),
		"black":  shape(func(nm float64) (float64, float64) { return 16, 1.2 }),
		"gold":   flake(shape(func(nm float64) (float64, float64) { return 0.05, 1.2 + 2.4*step(-nm, -520, 40) })),
		"bronze": flake(shape(func(nm float64) (float64, float64) {
			return 0.4 + 3.5*step(nm, 560, 25), 1.4 + 2*step(-nm, -580, 40)
		})),
		"silver": flake(shape(func(nm float64) (float64, float64) { return 0.02, 3.2 - (nm-380)/600 })),
	}
}

func sphere(t testing.TB) *film.Reader {
	t.Helper()
	s, err := film.Lay{Index: film.DefaultIndex, TiltDeg: 10}.Reader(colour.DI)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Drawdown cards under binder: reflectances in air, specular included.
func cards() (black, white colour.Spectrum) {
	for j := range black {
		black[j] = 0.045
		white[j] = 0.82 + 0.04*float64(j)/colour.Bands
	}
	return black, white
}

// skinGround is a rough light skin: deep in the blue, with a dip where blood
// absorbs. For prediction only, so its shape is all that matters.
func skinGround() (s colour.Spectrum) {
	for j := range s {
		nm := colour.WavelengthNM(j)
		s[j] = 0.22 + 0.42/(1+math.Exp((570-nm)/45)) - 0.04*math.Exp(-(nm-550)*(nm-550)/800)
	}
	return s
}

// drawn returns readings of p as they would be without noise, each load over
// both cards.
func drawn(t testing.TB, p palette.Optics, loads []float64, massErr float64) []Reading {
	t.Helper()
	return drawnBy(t, sphere(t), p, loads, massErr)
}

// drawnBy is the same, read by another reader.
func drawnBy(t testing.TB, reader *film.Reader, p palette.Optics, loads []float64, massErr float64) []Reading {
	t.Helper()
	black, white := cards()
	var out []Reading
	for i, m := range loads {
		for _, g := range []colour.Spectrum{black, white} {
			r := Reading{Film: string(rune('a' + i)), Ground: g, Mass: Mass{m, massErr * m}, Reader: reader}
			var err error
			if r.Read, err = Predict(&p, &r); err != nil {
				t.Fatal(err)
			}
			out = append(out, r)
		}
	}
	return out
}

// disturb adds the error of one reading to a spectrum: level, slope and bow
// along it and a little grain, scaled so that the ΔE00 it makes has a root mean
// square of sigma.
func disturb(rng *rand.Rand, r colour.Spectrum, sigma float64) colour.Spectrum {
	shape := func() (e colour.Spectrum) {
		a, b, c := rng.NormFloat64(), 0.5*rng.NormFloat64(), 0.5*rng.NormFloat64()
		for j := range e {
			x := 2*float64(j)/(colour.Bands-1) - 1
			e[j] = r[j] * (a + b*x + c*(x*x-1.0/3) + 0.3*rng.NormFloat64())
		}
		return e
	}
	was := colour.D65.Lab(&r)
	const probe = 1e-3
	mean := 0.0
	const draws = 24
	for range draws {
		e := shape()
		s := r
		for j := range s {
			s[j] += probe * e[j]
		}
		d := colour.DeltaE00(was, colour.D65.Lab(&s))
		mean += d * d / draws
	}
	e := shape()
	for j := range r {
		r[j] += e[j] * probe * sigma / math.Sqrt(mean)
	}
	return r
}

// Predict returns the reading a powder gives in place of r.Read. An error names
// what is wrong with the ground.
func Predict(p *palette.Optics, r *Reading) (colour.Spectrum, error) {
	o := observation{Reading: r, m: r.Mass.MgPerCM2}
	if err := o.lay(p); err != nil {
		return colour.Spectrum{}, fmt.Errorf("ground of film %q: %w", r.Film, err)
	}
	var out colour.Spectrum
	for j := range out {
		out[j] = o.reads(j, p.K[j], p.S[j])
	}
	return out, nil
}
