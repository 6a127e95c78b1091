package flake

import (
	"math"
	"testing"

	"tawny/blend/flake/constants"
	"tawny/blend/flake/mie"
)

// surface returns the reflectance for s and p light of films between two
// half-spaces, by this package's matrices. Thicknesses and wavelength in nm,
// outermost film first.
func surface(front float64, films [][2]float64, back, nm, deg float64) (rs, rp float64) {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	beta2 := front * front * sin * sin
	s, p := unit, unit
	for _, f := range films {
		w := newWave(complex(f[0]*f[0], 0), 2*math.Pi/nm*f[1], beta2)
		fs, fp := w.layer(1)
		s, p = s.times(fs), p.times(fp)
	}
	inBack := math.Sqrt(back*back - beta2)
	rs = mie.Norm(s.face(complex(front*cos, 0), complex(inBack, 0)).outer)
	rp = mie.Norm(p.face(complex(front/cos, 0), complex(back*back/inBack, 0)).outer)
	return rs, rp
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %.6g, want %.6g ± %g", what, got, want, within)
	}
}

func TestQuarterWaveOfMagnesiumFluorideOnGlass(t *testing.T) {
	// Macleod, Thin-Film Optical Filters, ch. 3, and Hecht, Optics, §9.7:
	// MgF₂, n 1.38, on glass of 1.52 leaves about 1.3 % at its wavelength, by
	// ((n₀n_s − n₁²)/(n₀n_s + n₁²))².
	rs, rp := surface(1, [][2]float64{{1.38, 550 / (4 * 1.38)}}, 1.52, 550, 0)
	near(t, "MgF₂ at 550 nm", rs, 0.0126, 0.0001)
	closed := math.Pow((1.52-1.38*1.38)/(1.52+1.38*1.38), 2)
	near(t, "closed form, s", rs, closed, 1e-14)
	near(t, "closed form, p", rp, closed, 1e-14)
}

func TestBareSurface(t *testing.T) {
	// Fresnel: glass 1.5 in air returns 4 % at normal incidence.
	rs, rp := surface(1, nil, 1.5, 550, 0)
	near(t, "4 %", rs, 0.04, 1e-15)
	near(t, "4 %", rp, 0.04, 1e-15)
	// Fresnel's sine and tangent laws at 45°.
	in := math.Asin(math.Sin(math.Pi/4) / 1.5)
	rs, rp = surface(1, nil, 1.5, 550, 45)
	near(t, "sine law", rs, math.Pow(math.Sin(math.Pi/4-in)/math.Sin(math.Pi/4+in), 2), 1e-14)
	near(t, "tangent law", rp, math.Pow(math.Tan(math.Pi/4-in)/math.Tan(math.Pi/4+in), 2), 1e-14)
	// Brewster: tan θ = n, 56.31°.
	_, rp = surface(1, nil, 1.5, 550, math.Atan(1.5)*180/math.Pi)
	near(t, "Brewster", rp, 0, 1e-28)
}

func TestQuarterWaveStack(t *testing.T) {
	// Macleod ch. 6: (HL)^p H on a substrate has admittance
	// (n_H/n_L)^2p n_H²/n_s at its wavelength.
	const h, l, glass, nm = 2.3, 1.38, 1.52, 600.0
	for pairs := 0; pairs <= 6; pairs++ {
		var films [][2]float64
		for range pairs {
			films = append(films, [2]float64{h, nm / (4 * h)}, [2]float64{l, nm / (4 * l)})
		}
		films = append(films, [2]float64{h, nm / (4 * h)})
		y := math.Pow(h/l, 2*float64(pairs)) * h * h / glass
		rs, rp := surface(1, films, glass, nm, 0)
		want := math.Pow((1-y)/(1+y), 2)
		near(t, "stack, s", rs, want, 1e-12)
		near(t, "stack, p", rp, want, 1e-12)
	}
}

func TestAbsenteeLayer(t *testing.T) {
	// A half-wave film does not show at its wavelength (Macleod ch. 2): also
	// obliquely, when it is half a wave thick along the ray.
	const n, nm, deg = 2.4, 510.0, 33.0
	sin := math.Sin(deg * math.Pi / 180)
	thick := nm / (2 * math.Sqrt(n*n-sin*sin))
	rs, rp := surface(1, [][2]float64{{n, thick}}, 1.52, nm, deg)
	bs, bp := surface(1, nil, 1.52, nm, deg)
	near(t, "absentee, s", rs, bs, 1e-14)
	near(t, "absentee, p", rp, bp, 1e-14)
}

func TestPlainMicaHalfAndQuarterWave(t *testing.T) {
	// A free platelet: nothing at half waves, 4r²/(1+r²)² at quarter waves
	// (Born & Wolf 7.6).
	const n, binder = constants.MuscoviteIndex, 1.47
	one := math.Pow((n-binder)/(n+binder), 2)
	f := Flake{Binder: binder, SubstrateNM: 550 / (2 * n)}
	r, _, _, err := f.At(0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "half wave", r[17], 0, 1e-28) // band 17 is 550 nm
	f.SubstrateNM = 3 * 550 / (4 * n)
	r, _, _, _ = f.At(0)
	near(t, "quarter wave", r[17], 4*one/math.Pow(1+one, 2), 1e-14)
}

func TestThickMicaAddsIntensities(t *testing.T) {
	// With every fringe washed out a plate returns 2ρ/(1+ρ) (Born & Wolf).
	f := Flake{Binder: 1.33, SubstrateNM: 5000, SubstrateSpreadNM: 2500}
	one := math.Pow((1.58-1.33)/(1.58+1.33), 2)
	r, _, _, err := f.At(0)
	if err != nil {
		t.Fatal(err)
	}
	for b := range r {
		near(t, "incoherent plate", r[b], 2*one/(1+one), 1e-14)
	}
}

func TestCriticalAngleInsideACoat(t *testing.T) {
	// Silica is thinner than castor oil: at the coat's critical angle γ is 0
	// and nothing must break; the values beside it must join.
	silica, err := constants.Find("silica")
	if err != nil {
		t.Fatal(err)
	}
	f := Flake{Coats: []Layer{{"silica", 90}}, Binder: 1.48}
	n := math.Sqrt(real(silica.OnGrid()[17])) // index as this band has it
	deg := math.Asin(n/1.48) * 180 / math.Pi
	var got [3]float64
	for i, d := range []float64{deg - 1e-7, deg, deg + 1e-7} {
		r, _, _, err := f.At(d)
		if err != nil {
			t.Fatal(err)
		}
		got[i] = r[17]
	}
	near(t, "below and at", got[0], got[1], 1e-7)
	near(t, "above and at", got[2], got[1], 1e-7)
}
