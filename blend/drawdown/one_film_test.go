package drawdown

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// worn is a powder as the film of a worn blend predicts it on a card, or on skin.
func worn(t *testing.T, p palette.Optics, g colour.Geometry, ground colour.Spectrum, m float64) Reading {
	t.Helper()
	lay := film.Lay{Index: film.DefaultIndex, TiltDeg: 10}
	reader, err := lay.Reader(g)
	if err != nil {
		t.Fatal(err)
	}
	r := Reading{Ground: ground, Mass: Mass{MgPerCM2: m, Err: 0.01 * m}, Reader: reader}
	if r.Read, err = film.Diffuse(film.Worn{
		Ground: film.Ground{Reflectance: ground, Geometry: g, Card: ground != skinGround()}, Tilt: lay.TiltDeg,
		Parts: []film.Part{{Pigment: &palette.Pigment{Optics: p}, Percent: 100 * m / film.MaxApply}}, Apply: film.MaxApply,
	}); err != nil {
		t.Fatal(err)
	}
	return r
}

// A lot read without noise, whatever the geometry and whatever the powder, has
// changed neither in shade nor in strength, as the film that predicts it has it; a
// lot 15 % stronger or weaker is told as that, and one of a coat 3 nm thicker as
// another shade.
func TestLotInEveryGeometry(t *testing.T) {
	drawer, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	black, white := cards()
	for _, geometry := range colour.Geometries {
		var shade, strength, leastTold float64
		var back []float64
		leastTold = math.Inf(1)
		for _, p := range drawer.Pigments {
			card := black
			if !p.Optics.Flake && p.Optics.K[17] > p.Optics.S[17] {
				card = white // a black powder shows over white
			}
			for _, by := range []float64{1, 0.85, 1.15} {
				c, err := ChangeOfLot(&p.Optics, []Reading{worn(t, p.Optics.Scaled(by), geometry, card, 0.1)}, nil)
				if err != nil {
					t.Errorf("%s, %s: %v", p.Name, geometry, err)
					continue
				}
				shade, strength = max(shade, c.Shade.DeltaE00), max(strength, math.Abs(c.Strength/by-1))
				if c.Shade.DeltaE00 >= 0.1 || math.Abs(c.Strength/by-1) > 0.01 {
					t.Errorf("%s, %s: a lot × %g is told as × %.4f, shade ΔE00 %.3f", p.Name, geometry, by, c.Strength, c.Shade.DeltaE00)
				}
			}
			if len(p.Layers) == 0 {
				continue
			}
			thicker := p.Flake(film.DefaultIndex)
			thicker.Coats = slices.Clone(thicker.Coats)
			thicker.Coats[len(thicker.Coats)-1].ThicknessNM += 3
			o, err := palette.FlakeOptics(thicker)
			if err != nil {
				t.Fatal(err)
			}
			lot := worn(t, o, geometry, card, 0.1)
			c, err := ChangeOfLot(&p.Optics, []Reading{lot}, nil)
			if err != nil {
				t.Fatal(err)
			}
			// As it is taken over, it is nearer the film that was read.
			now := c.Of(p.Optics)
			again, err := Predict(&now, &lot)
			if err != nil {
				t.Fatal(err)
			}
			off := colour.DeltaE00(colour.D65.Lab(&lot.Read), colour.D65.Lab(&again))
			back = append(back, off)
			if off > c.DeltaE00/2 {
				t.Errorf("%s, %s: the new lot's film is given back to ΔE00 %.2f, the old lot's was %.2f off", p.Name, geometry, off, c.DeltaE00)
			}
			leastTold = min(leastTold, c.DeltaE00)
			if c.DeltaE00 < 0.5 {
				t.Errorf("%s, %s: a coat 3 nm thicker moves its film by ΔE00 %.3f", p.Name, geometry, c.DeltaE00)
			}
		}
		t.Logf("%-5s an unchanged lot: shade to ΔE00 %.1g, strength to %.1g; a coat 3 nm thicker: ΔE00 %.2f or more, given back to %.3f on average, %.2f at worst", geometry, shade, strength, leastTold, floats.Sum(back)/float64(len(back)), slices.Max(back))
	}
}

// A powder said to be like one of another colour is fitted as well as one said to
// be like none: at 45°:0° such a coat put unseen films off by ΔE00 3 to 7. A like of
// its own colour is kept.
func TestFarOffLike(t *testing.T) {
	drawer, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	find := func(name string) palette.Optics {
		p, err := drawer.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		return p.Optics
	}
	black, white := cards()
	for _, c := range []struct{ name, like string }{
		{"silver white", "blue gleam satin"}, {"silver white", "rose gleam"}, {"green gleam", "blue gleam"},
		{"blue gleam", "rose gleam"}, {"bright gold", "violet gleam"}, {"bright gold", "straw gold"},
	} {
		truth, like := find(c.name), find(c.like)
		var readings []Reading
		for i, m := range []float64{0.05, 0.1, 0.2} {
			for _, card := range []colour.Spectrum{black, white} {
				r := worn(t, truth, colour.At45, card, m)
				r.Film, r.Mass.Err = string(rune('a'+i)), 0.03*m
				readings = append(readings, r)
			}
		}
		f, err := FitPowder(readings, &like)
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for _, m := range []float64{0.02, 0.07, 0.3} {
			want, got := worn(t, truth, colour.At45, skinGround(), m), worn(t, f.Powder, colour.At45, skinGround(), m)
			worst = max(worst, colour.DeltaE00(colour.D65.Lab(&want.Read), colour.D65.Lab(&got.Read)))
		}
		t.Logf("%s said to be like %s: ΔE00 %.2f at worst, %s", c.name, c.like, worst, f.Verdict)
		near := c.like == "straw gold"
		if kept := len(f.Powder.R) > 0; kept != near {
			t.Errorf("%s: the coat of %s was kept: %v", c.name, c.like, kept)
		}
		if worst > 1.6 || near && worst > 0.7 {
			t.Errorf("%s said to be like %s: ΔE00 %.2f", c.name, c.like, worst)
		}
		if !near && f.Verdict == Holds {
			t.Errorf("%s said to be like %s: %s", c.name, c.like, f.Verdict)
		}
	}
}

// Films over a card whose bare reading is of the binder alone, as the film itself
// reads both, give the powder back in every geometry: nothing of skin's surface is in
// them. Square on under 45° a black one may be darker than any skin.
func TestCardUnderBinder(t *testing.T) {
	for _, geometry := range colour.Geometries {
		reader, err := film.Lay{Index: film.DefaultIndex, TiltDeg: 10}.Reader(geometry)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{"black", "red", "yellow", "bronze"} {
			p := powders()[name]
			ready := []*film.Prepared{reader.Prepare(film.PowderOf(&p))}
			var readings []Reading
			for _, m := range []float64{0.05, 0.1, 0.2} {
				for _, below := range []float64{0.02, 0.9} {
					under := film.Under{Below: colour.Constant(below)}
					r := Reading{Mass: Mass{MgPerCM2: m}, Reader: reader}
					reader.Read(&r.Ground, nil, &under, nil, nil)
					reader.Read(&r.Read, nil, &under, ready, []float64{m})
					readings = append(readings, r)
				}
			}
			f, err := FitPowder(readings, &p)
			if err != nil {
				t.Errorf("%s, %s: %v", geometry, name, err)
				continue
			}
			if k, s := colour.RMS(&f.Powder.K, &p.K), colour.RMS(&f.Powder.S, &p.S); k > 1e-6 || s > 1e-6 {
				t.Errorf("%s, %s: K off by %.2g, S by %.2g", geometry, name, k, s)
			}
		}
	}
}
