package film

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"
)

// Flakes' areas seen from straight above sum to one: ∫ D cosβ dω = 1.
func TestTiltNormalised(t *testing.T) {
	for _, sigma := range []float64{1, 6, 10, 15, 20, 40} {
		tilt := Tilt{sigma}
		// In the slope x = tanβ, dω = 2π sinβ dβ and dβ = cos²β dx.
		s := math.Tan(sigma * math.Pi / 180)
		got := quad.Fixed(func(x float64) float64 {
			c := 1 / math.Sqrt(1+x*x)
			return tilt.D(c) * c * 2 * math.Pi * x * c * c * c
		}, 0, 9*s, 200, quad.Legendre{}, 0)
		if math.Abs(got-1) > 1e-12 {
			t.Errorf("σ %g°: ∫ D cosβ dω = %.15g", sigma, got)
		}
	}
	if (Tilt{}).D(1) != math.Inf(1) || (Tilt{}).D(0.99) != 0 || (Tilt{10}).D(-0.5) != 0 || (Tilt{10}).D(0) != 0 {
		t.Error("limits of D")
	}
}

// The shares for near-normal light, to the two digits the design gives.
func TestEscapeFigures(t *testing.T) {
	for _, c := range []struct{ sigma, tau float64 }{{6, 0.96}, {10, 0.86}, {15, 0.61}, {20, 0.40}} {
		tau, tauC, err := Tilt{c.sigma}.Escape(DefaultIndex, Normal)
		if err != nil || math.Round(tau*100)/100 != c.tau || tauC < tau {
			t.Errorf("σ %g°: τ %.4f τc %.4f %v, want τ %g", c.sigma, tau, tauC, err, c.tau)
		}
	}
}

// For light straight down the tilt decides alone, in closed form: a flake
// tilted by β sends light to 2β, and tan²β is exponential, so
// τc = 1 − exp(−tan²(θc/2)/2s²).
func TestEscapeClosedForm(t *testing.T) {
	for _, n := range []float64{1.33, 1.47, 1.6} {
		for _, sigma := range []float64{0.6, 1, 3, 6, 10, 15, 20, 40} {
			s := math.Tan(sigma * math.Pi / 180)
			half := math.Tan(math.Asin(1/n) / 2)
			want := 1 - math.Exp(-half*half/(2*s*s))
			tau, tauC, err := Tilt{sigma}.Escape(n, Normal)
			if err != nil || math.Abs(tauC-want) > 1e-6 {
				t.Errorf("n %g σ %g°: τc %.9f, want %.9f, %v", n, sigma, tauC, want, err)
			}
			// τ from the same distribution, by flakes' tilt rather than by
			// direction in air; x² = tan²β/tan²(θc/2).
			byTilt := quad.Fixed(func(y float64) float64 {
				x := 1 - y*y // crowd points at the cone's edge
				beta := math.Atan(x * half)
				sinAir := n * math.Sin(2*beta)
				cos := math.Sqrt(max(0, 1-sinAir*sinAir))
				u := x * half / s
				return math.Exp(-u*u/2) * u * (half / s) * 2 * y * (1 - Fresnel(n, cos))
			}, 0, 1, 400, quad.Legendre{}, 0)
			if math.Abs(tau-byTilt) > 1e-6 {
				t.Errorf("n %g σ %g°: τ %.9f, by tilt %.9f", n, sigma, tau, byTilt)
			}
		}
	}
}

// For slanting light, by throwing flakes: draw Gaussian slopes, weight each
// flake by the light its face catches, and follow the mirrored ray.
func TestEscapeByThrowingFlakes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	n := DefaultIndex
	for _, sigma := range []float64{6, 15} {
		in := ray(n, math.Cos(45*math.Pi/180))
		s := math.Tan(sigma * math.Pi / 180)
		var tau, tauC, all float64
		const flakes = 400_000
		for range flakes {
			x, y := s*rng.NormFloat64(), s*rng.NormFloat64()
			h := 1 / math.Sqrt(1+x*x+y*y) // normal (−x, −y, 1)·h
			catch := h * (-x*in.sin + in.cos)
			if catch <= 0 {
				continue
			}
			// Slopes are spread per unit of level area; a flake's own
			// area is 1/h of that, and it catches light by catch.
			weight := catch / h / in.cos
			all += weight
			out := 2*catch*h - in.cos
			sinAir := n * math.Sqrt(max(0, 1-out*out))
			if out <= 0 || sinAir >= 1 {
				continue
			}
			tauC += weight
			tau += weight * (1 - Fresnel(n, math.Sqrt(1-sinAir*sinAir)))
		}
		gotTau, gotTauC, err := Tilt{sigma}.Escape(n, At45)
		if err != nil || math.Abs(gotTau-tau/flakes) > 0.004 || math.Abs(gotTauC-tauC/flakes) > 0.004 || math.Abs(all/flakes-1) > 0.004 {
			t.Errorf("σ %g°: τ %.4f τc %.4f, thrown %.4f %.4f (all %.4f) %v", sigma, gotTau, gotTauC, tau/flakes, tauC/flakes, all/flakes, err)
		}
	}
}

// Diffuse entry is the flux-weighted mean of slanting ones, and flat flakes
// pass what the surface passes.
func TestEscapeLimits(t *testing.T) {
	tau, tauC, err := Tilt{}.Escape(DefaultIndex, At45)
	if want := 1 - Fresnel(DefaultIndex, math.Sqrt(0.5)); err != nil || tau != want || tauC != 1 {
		t.Errorf("flat: %v %v %v, want %v 1", tau, tauC, err, want)
	}
	near, _, _ := Tilt{0.51}.Escape(DefaultIndex, At45)
	if math.Abs(near-tau) > 1e-3 {
		t.Errorf("nearly flat %v, flat %v", near, tau)
	}
	round, roundC, err := Tilt{10}.Escape(DefaultIndex, FromRound)
	down, _, _ := Tilt{10}.Escape(DefaultIndex, Normal)
	if err != nil || !(round < down && round > 0.3 && roundC > round) {
		t.Errorf("from all round τ %v τc %v, straight down %v, %v", round, roundC, down, err)
	}
}

// The design's table of geometries in a binder of 1.47, to its last digit.
func TestGeometryTable(t *testing.T) {
	rows := []struct{ aspecular, air, binder, tilt, local, f10, f15 string }{
		{"15", "-30", "19.89", "4.43", "24.32", "1.90", "0.871"},
		{"45", "0", "0.00", "14.38", "14.38", "0.770", "0.607"},
		{"75", "30", "19.89", "24.32", "4.43", "0.113", "0.314"},
		{"110", "65", "38.06", "33.41", "4.66", "0.0043", "0.098"},
	}
	ten, err := Views(1.47, Tilt{10})
	if err != nil {
		t.Fatal(err)
	}
	fifteen, err := Views(1.47, Tilt{15})
	if err != nil {
		t.Fatal(err)
	}
	if in := math.Asin(math.Sqrt(0.5)/1.47) * 180 / math.Pi; fmt.Sprintf("%.2f", in) != "28.75" {
		t.Errorf("incidence in the binder %.2f", in)
	}
	// as writes v with as many decimals as the table shows.
	as := func(v float64, like string) string {
		decimals := 0
		for i := range like {
			if like[i] == '.' {
				decimals = len(like) - i - 1
			}
		}
		return fmt.Sprintf("%.*f", decimals, v)
	}
	for i, r := range rows {
		v, w := ten[i], fifteen[i]
		for _, c := range []struct {
			name, want string
			got        float64
		}{
			{"aspecular", r.aspecular, v.AspecularDeg}, {"view in air", r.air, v.AirDeg},
			{"view in binder", r.binder, v.BinderDeg}, {"tilt", r.tilt, v.TiltDeg},
			{"local incidence", r.local, v.LocalDeg},
			{"factor at σ 10°", r.f10, v.Factor}, {"factor at σ 15°", r.f15, w.Factor},
		} {
			if got := as(c.got, c.want); got != c.want {
				t.Errorf("%s°, %s: %s, want %s", r.aspecular, c.name, got, c.want)
			}
		}
	}
}

// hemisphere integrates f over directions in the binder, by the cosine to the
// normal and the azimuth, weighted by nothing.
func hemisphere(f func(cos, cosPhi float64) float64) float64 {
	const points = 300
	var mu, w [points]float64
	quad.Legendre{}.FixedLocations(mu[:], w[:], -1, 1)
	sum := 0.0
	for i, m := range mu {
		for k := range points {
			sum += w[i] * f(m, math.Cos((float64(k)+0.5)*math.Pi/points)) * 2 * math.Pi / points
		}
	}
	return sum
}

// Inside the binder the flakes' beam is all there: the lobe's radiance over
// every direction it goes, downward included, carries exactly P, and with
// perfect flakes on a perfect white (K = 0) beam and rest make 1.
func TestFurnaceInside(t *testing.T) {
	for _, sigma := range []float64{6, 10, 15} {
		tilt := Tilt{sigma}
		for _, airDeg := range []float64{0, 45} {
			in := ray(DefaultIndex, math.Cos(airDeg*math.Pi/180))
			beam := hemisphere(func(cos, cosPhi float64) float64 {
				// Radiance D/(4 cosθi cosθo) times the projected cosθo.
				sin := math.Sqrt(1 - cos*cos)
				between := in.sin*sin*cosPhi + in.cos*cos
				return tilt.D((in.cos+cos)/math.Sqrt(2+2*between)) / (4 * in.cos)
			})
			if math.Abs(beam-1) > 1e-6 {
				t.Errorf("σ %g° light at %g°: the lobe carries %.8f of P", sigma, airDeg, beam)
			}
			ri, _, _ := Reflect(0, 0.7, 1)
			p, _, _ := Beam(0.7, 0, 0.7)
			if total := p*beam + (ri - p); math.Abs(total-1) > 1e-6 {
				t.Errorf("σ %g° light at %g°: furnace %.8f", sigma, airDeg, total)
			}
		}
	}
}

// Outside, the lobe over the hemisphere of air is what entered times the share
// of the beam that gets out.
func TestFurnaceOutside(t *testing.T) {
	for _, sigma := range []float64{6, 10, 15} {
		tilt := Tilt{sigma}
		v, err := NewView(DefaultIndex, tilt, 45)
		if err != nil {
			t.Fatal(err)
		}
		tau, tauC, err := tilt.Escape(DefaultIndex, At45)
		if err != nil || tauC != v.TauC {
			t.Fatal(err, tauC, v.TauC)
		}
		in := ray(DefaultIndex, math.Sqrt(0.5))
		// Over directions in the binder, with n² cosθ dω = cosθair dωair.
		out := hemisphere(func(cos, cosPhi float64) float64 {
			sin := math.Sqrt(1 - cos*cos)
			sinAir := DefaultIndex * sin
			if cos <= 0 || sinAir >= 1 {
				return 0
			}
			cosAir := math.Sqrt(1 - sinAir*sinAir)
			r := (1 - v.K1) * (1 - Fresnel(DefaultIndex, cosAir)) * tilt.lobe(DefaultIndex, in, direction{sin, cos}, cosPhi)
			return r / math.Pi * DefaultIndex * DefaultIndex * cos
		})
		if want := (1 - v.K1) * tau; math.Abs(out-want) > 1e-3 {
			t.Errorf("σ %g°: out over the hemisphere %.6f, Ti τ = %.6f", sigma, out, want)
		}
	}
}

// Swapping light and eye changes nothing.
func TestReciprocity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tilt := Tilt{rapid.Float64Range(1, 30).Draw(t, "σ")}
		cos := rapid.Float64Range(0.02, 1)
		a, b := cos.Draw(t, "a"), cos.Draw(t, "b")
		phi := rapid.Float64Range(-1, 1).Draw(t, "cos φ")
		full := func(i, o float64) float64 {
			return (1 - Fresnel(DefaultIndex, i)) * (1 - Fresnel(DefaultIndex, o)) *
				tilt.lobe(DefaultIndex, ray(DefaultIndex, i), ray(DefaultIndex, o), phi)
		}
		there, back := full(a, b), full(b, a)
		if math.Abs(there-back) > 1e-12*there {
			t.Fatalf("%v there, %v back", there, back)
		}
	})
}

// Without flakes every view is the same, and is the diffuse reading at 45°
// without its mirror reflection.
func TestOrdinaryPigmentIsAlikeAtEveryAngle(t *testing.T) {
	views, err := Views(DefaultIndex, Tilt{10})
	if err != nil {
		t.Fatal(err)
	}
	s, err := NewSurface(DefaultIndex, At45, 0, Tilt{10})
	if err != nil {
		t.Fatal(err)
	}
	want, _, _, _ := s.Band(0.1, 0.3, 0, 0.4)
	for _, v := range views {
		if got, _, _, _, _ := v.Band(0.1, 0.3, 0, 0, 0.4); math.Abs(got-want) > 1e-15 {
			t.Errorf("%g°: %v, want %v", v.AspecularDeg, got, want)
		}
	}
}

// The beam over the hemisphere and the rest make the hemispherical reading of
// §6 for light at 45°: views are its parts, not rescaled.
func TestViewsSumToTheReading(t *testing.T) {
	tilt := Tilt{12}
	k, sc, sf, rg := 0.05, 0.5, 0.45, 0.3
	s, err := NewSurface(DefaultIndex, At45, 0, tilt)
	if err != nil {
		t.Fatal(err)
	}
	want, _, _, _ := s.Band(k, sc, sf, rg)
	v, err := NewView(DefaultIndex, tilt, 45)
	if err != nil {
		t.Fatal(err)
	}
	_, share, _ := Beam(sf, k, sc)
	here, _, _, _, _ := v.Band(k, sc, sf, sf, rg)
	rest := here - v.Factor*sf*share
	if got := rest + (1-v.K1)*s.Tau*sf*share; math.Abs(got-want) > 1e-15 {
		t.Errorf("parts sum to %v, the reading is %v", got, want)
	}
}

func TestCoverages(t *testing.T) {
	last := Coverage{SigmaDeg: 90}
	for _, c := range Coverages {
		if c.MgPerCM2 <= last.MgPerCM2 || c.SigmaDeg >= last.SigmaDeg || c.Name == "" || c.Plain == "" || c.Rationale == "" {
			t.Errorf("%+v after %+v", c, last)
		}
		if _, err := NewSurface(DefaultIndex, Normal, 1, c.Tilt()); err != nil {
			t.Errorf("%s: %v", c.Name, err)
		}
		last = c
	}
}
