package film

import (
	"math"
	"strings"
	"testing"

	"tawny/blend/flake"
	"tawny/blend/flake/grain"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/skin"
)

func holds(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %.9g, want %.9g ± %.2g", what, got, want, within)
	}
}

// Directions that lie in no plane of the axes: Snell's law, a mirror's, and what
// vectors do.
func TestDirections(t *testing.T) {
	a, b := vec{0.3, -0.5, 0.2}, vec{-0.7, 0.4, 1.1}
	for i, want := range [3]float64{-0.4, -0.1, 1.3} {
		holds(t, "sum", a.plus(b)[i], want, 1e-15)
		holds(t, "twice", a.scaled(2)[i], a[i]+a[i], 0)
	}
	c := a.cross(b)
	holds(t, "across a", c.dot(a), 0, 1e-15)
	holds(t, "across b", c.dot(b), 0, 1e-15)
	holds(t, "|a×b|² + (a·b)²", c.dot(c)+a.dot(b)*a.dot(b), a.dot(a)*b.dot(b), 1e-15)
	for _, in := range []vec{a.unit(), b.unit(), a.scaled(-1).unit()} {
		out := in.refracted(1.47)
		holds(t, "length", out.dot(out), 1, 1e-15)
		holds(t, "Snell's sine", math.Hypot(out[0], out[1])*1.47, math.Hypot(in[0], in[1]), 1e-15)
		holds(t, "plane of incidence", out[0]*in[1]-out[1]*in[0], 0, 1e-15)
		if out[2]*in[2] <= 0 {
			t.Errorf("%v goes on as %v", in, out)
		}
		n := vec{0.1, -0.2, 1}.unit()
		off := in.mirrored(n)
		holds(t, "mirrored", off.dot(n), -in.dot(n), 1e-15)
		holds(t, "along the mirror", off.cross(n).plus(in.cross(n).scaled(-1)).dot(off.cross(n)), 0, 1e-15)
		fr := newFrame(n, in)
		for i, x := range []vec{fr.x, fr.y, fr.z} {
			for j, y := range []vec{fr.x, fr.y, fr.z} {
				want := 0.0
				if i == j {
					want = 1
				}
				holds(t, "axes of a facet", x.dot(y), want, 1e-15)
			}
		}
		holds(t, "light out of its plane", fr.in[1], 0, 1e-15)
		holds(t, "light's length", fr.in.dot(fr.in), 1, 1e-15)
	}
	square := newFrame(vec{0.6, 0, 0.8}, vec{0.6, 0, 0.8})
	holds(t, "square on", square.in[2], 1, 1e-15)
	holds(t, "square on, axes", square.x.dot(square.z)+square.y.dot(square.z)+square.x.dot(square.y), 0, 1e-15)
}

// A trace of grains in the binder over black, seen in 45:0, scatters once: their
// radiance factor per mass is (1−F)(1−F_v) μs p(Θ)/(4 μ μ_v n²), Θ between the
// refracted light and the eye (single scattering, Chandrasekhar, Radiative Transfer
// 1950, §9; out of the binder a radiance falls by n²).
func TestSingleScattering(t *testing.T) {
	const n = 1.47
	f := mustFilm(t, Lay{Index: n, TiltDeg: 10})
	mu := math.Sqrt(1 - 0.5/(n*n)) // of light at 45°
	through := (1 - colour.Fresnel(n, math.Cos(math.Pi/4))) * (1 - colour.Fresnel(n, 1))
	for _, g := range []float64{0, 0.3, -0.4, 0.6} {
		p := &Powder{MuS: colour.Constant(2), MuA: colour.Constant(0.7)}
		if g != 0 {
			all := colour.Constant(g)
			p.Moments = peaked(&all)
		}
		r := mustReader(t, f, colour.At45)
		slopes := []float64{0}
		r.Band(9, &Under{}, []*Prepared{r.Prepare(p)}, []float64{0}, slopes)
		cos := -mu // straight back up from light going down at μ
		phase := (1 - g*g) / math.Pow(1+g*g-2*g*cos, 1.5)
		holds(t, "first scattering", slopes[0], through*2*phase/(4*mu*1*n*n), 1e-9)
	}
}

// Grains from K and S are of the diffusion limit; faces as they are asked for.
func TestPowdersOfTwoFluxes(t *testing.T) {
	k, s := colour.Constant(3), colour.Constant(0.6)
	p := Grains(&k, &s, nil)
	holds(t, "μa", p.MuA[4], 1.5, 1e-15)
	holds(t, "μs", p.MuS[4], 0.8, 1e-15)
	p = Grains(&k, &s, grain.HenyeyGreenstein(0.5))
	holds(t, "μs(1−g)", p.MuS[4]*(1-p.moment(1, 4)), 0.8, 1e-12)
	holds(t, "χ_0", p.moment(0, 4), 1, 0)
	p = Facing(6, &k, &s)
	holds(t, "R", p.R[0][4], 0.1, 1e-15)
	holds(t, "T", p.T[0][4], 0.4, 1e-15)
	for w, want := range map[int][2]float64{0: {0.2, 1}, 3: {0.2, 1}} {
		var at [nodes]float64
		at[w] = 2
		of := p.faces(4)
		r, a := of.over(&at)
		holds(t, "R of two faces", r, want[0], 1e-15)
		holds(t, "A of two faces", a, want[1], 1e-15)
	}
}

// How a film may lie, at the limits and past them.
func TestLays(t *testing.T) {
	for _, c := range []struct{ tilt, share, surface, most float64 }{
		{10, 0.5, 5, 8}, {12, 0.8, 9.6, 9.6}, {15, 0.8, 10, 10}, {15, 0.1, 1.5, 10}, {0, 0.5, 0, 0},
	} {
		lay := LayOf(1.4, c.tilt, c.share)
		holds(t, "surface", lay.SurfaceDeg, c.surface, 1e-12)
		holds(t, "most", MostSurface(c.tilt), c.most, 1e-12)
		if lay.Index != 1.4 || lay.TiltDeg != c.tilt {
			t.Errorf("lay %+v", lay)
		}
	}
	for _, lay := range []Lay{
		{3, 10, 0, 0}, {1.01, 10, 0, 0}, {1.47, 40, 0, 0}, {1.47, 10, 8, 0}, {1.47, 20, 10, 0},
		{1.47, 10, 0, -skin.HazeShare}, {1.47, 10, 0, 1 - skin.HazeShare},
	} {
		if _, err := New(lay); err != nil {
			t.Errorf("%+v: %v", lay, err)
		}
	}
	for want, lays := range map[string][]Lay{
		"refractive index": {{1, 10, 0, 0}, {3.1, 10, 0, 0}, {math.NaN(), 10, 0, 0}},
		"tilt of flakes":   {{1.47, 40.1, 0, 0}, {1.47, -1, 0, 0}, {1.47, math.NaN(), 0, 0}},
		"tilts from":       {{1.47, 10, 8.1, 0}, {1.47, 20, 10.1, 0}, {1.47, 10, -1, 0}},
		"sideways":         {{1.47, 10, 0, -skin.HazeShare - 0.01}, {1.47, 10, 0, 1.01 - skin.HazeShare}},
	} {
		for _, lay := range lays {
			if _, err := New(lay); err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%+v: error %v, want one that says %q", lay, err, want)
			}
		}
	}
}

// Every flake stands some way, and all that are met at one local incidence mirror
// somewhere: over all normals the chances of a glint, freed of the solid angle that
// one normal's degree is worth, add up to one. Here with flakes that stand steeply,
// where a cosine more or less would show.
func TestGlintChanceIsOfAllFlakes(t *testing.T) {
	f := mustFilm(t, Lay{Index: 1.47, TiltDeg: 30})
	const steps = 20000
	for _, cosLocal := range []float64{1, 0.5} {
		sum := 0.0
		for i := range steps {
			cos := (float64(i) + 0.5) / steps
			sum += f.GlintChance(cos, cosLocal) * 4 * 1.47 * 1.47 * cosLocal
		}
		holds(t, "all flakes", 2*math.Pi*sum/steps, 1, 1e-4)
	}
}

// The light is at 45° and the eye 15° from its mirror, and the scene's half-angles
// are the lamp's, the eye's and diffraction's squared, narrowed by the binder as
// differences of Snell's law say.
func TestGlintSceneIsAtFifteen(t *testing.T) {
	const n = 1.47
	f := mustFilm(t, Lay{Index: n, TiltDeg: 10})
	s := f.GlintScene()
	mirror := vec{s.in[0], s.in[1], -s.in[2]}
	holds(t, "light", math.Acos(s.in[2])*180/math.Pi, 45, 1e-12)
	holds(t, "eye from the mirror", math.Acos(mirror.dot(s.out))*180/math.Pi, 15, 1e-6)
	holds(t, "eye from square on", math.Acos(-s.out[2])*180/math.Pi, 30, 1e-6)
	// Solid angle in the binder over that in air, times n², by finite differences.
	narrow := func(deg float64) float64 {
		in := func(deg float64) float64 { return math.Asin(math.Sin(deg*math.Pi/180) / n) }
		const e = 1e-4
		across := math.Sin(in(deg)) / math.Sin(deg*math.Pi/180)
		along := (in(deg+e) - in(deg-e)) / (2 * e * math.Pi / 180)
		return across * along * n * n
	}
	lamp := glintLampDeg * math.Pi / 180
	holds(t, "steady", s.blur.steady, lamp*lamp*narrow(45)+0.004*0.004*narrow(30), 1e-8)
	holds(t, "diffraction at 10 µm", s.blur.At(10)-s.blur.steady, 0.055*0.055, 1e-12)
	z := Size{D50: 10}
	holds(t, "Ω of one size", s.blur.Omega(z), math.Pi*s.blur.At(10), 1e-12)
	holds(t, "of it steady", s.blur.Steady(z), s.blur.steady/s.blur.At(10), 1e-12)
}

// A word's limits: a contrast on the limit is the middle one's.
func TestGrainWordLimits(t *testing.T) {
	for contrast, want := range map[float64]string{
		0: "satin", satinContrast - 1e-9: "satin", satinContrast: "pearl", sparkleContrast: "pearl", sparkleContrast + 1e-9: "sparkle",
	} {
		if got := GrainWord(contrast); got != want {
			t.Errorf("%g is %s, want %s", contrast, got, want)
		}
	}
	last := 0.0
	for _, word := range GrainWords {
		lo, hi, ok := GrainBounds(word)
		if !ok || lo != last || hi <= lo || GrainWord((lo+min(hi, 100))/2) != word {
			t.Errorf("%s: %g to %g, %t", word, lo, hi, ok)
		}
		last = hi
	}
	if _, _, ok := GrainBounds("glitter"); ok || !math.IsInf(last, 1) {
		t.Errorf("glitter %t, the last up to %g", ok, last)
	}
	for gleam, want := range map[float64]string{0.49: "none", 0.5: "soft", 1.99: "soft", 2: "clear", 6: "bright", 20: "dazzling", -3: "none"} {
		if got := WordOfGleam(gleam); got != want {
			t.Errorf("a gleam of %g is %s, want %s", gleam, got, want)
		}
	}
}

// What leaves into the trap and what of a tilted surface's gloss goes past it,
// counted by throwing the same slopes that everything else is averaged over.
func TestTrapByThrowing(t *testing.T) {
	edge := math.Cos(5 * math.Pi / 180)
	for _, c := range []struct{ tilt, deg float64 }{{2, 8}, {6, 8}, {6, 30}, {15, 20}} {
		f := mustFilm(t, Lay{Index: 1.47, TiltDeg: c.tilt})
		in := towards(c.deg)
		fr := newFrame(flat, in)
		fc := f.facet(&fr, 1)
		out := vec{in[0], in[1], -in[2]}
		d := in.refracted(1.47)
		all, let, into := 0.0, 0.0, 0.0
		for _, m := range normals(f.slope, 200000) {
			v := d.mirrored(m)
			w := math.Abs(d.dot(m))
			all += w
			x, y := 1.47*v[0], 1.47*v[1]
			if v[2] >= 0 || x*x+y*y >= 1 {
				continue
			}
			air := vec{x, y, -math.Sqrt(1 - x*x - y*y)}
			w *= 1 - colour.Fresnel(1.47, -air[2])
			let += w
			if air.dot(out) > edge {
				into += w
			}
		}
		holds(t, "let out", fc.entry.tau, let/all, 2e-3)
		holds(t, "into the trap", f.trapped(&fc, &fr, out), into/all, 0.02*into/all)
		if c.deg != skin.SphereDeg {
			continue
		}
		// What is let past the trap, of the sphere's wall without it: of mirrors so few
		// over black that light meets one only.
		const mass = 1e-5
		de, powder := mustReader(t, f, colour.DE), &Powder{FaceArea: 1, R: []colour.Spectrum{colour.Constant(1)}, T: []colour.Spectrum{{}}}
		var one colour.Spectrum
		de.Read(&one, nil, &Under{card: true}, de.prepare([]*Powder{powder}), []float64{mass})
		wall := 1 - math.Pow(math.Sin(5*math.Pi/180), 2)
		want := (1 - colour.Fresnel(1.47, in[2])) * mass * all / 200000 / d[2] * (let - into) / all / wall
		holds(t, "past the trap", (one[9]-de.Gloss(&Under{card: true}))/want, 1, 4e-3)
	}
	if f := mustFilm(t, Lay{Index: 1.47}); true {
		in := towards(skin.SphereDeg)
		fr := newFrame(flat, in)
		fc := f.facet(&fr, 1)
		holds(t, "flat flakes", f.trapped(&fc, &fr, vec{in[0], in[1], -in[2]}), fc.entry.tau, 0)
	}
	for _, deg := range []float64{8, 40} {
		f := mustFilm(t, Lay{Index: 1.47, TiltDeg: 12, SurfaceDeg: 8})
		in := towards(deg)
		out := vec{in[0], in[1], -in[2]}
		sum := 0.0
		const rings, around = 500, 500
		for i := range rings {
			cos := (float64(i) + 0.5) / rings
			for j := range around {
				sin, turn := math.Sincos(2 * math.Pi * (float64(j) + 0.5) / around)
				if to := (vec{sine(cos) * turn, sine(cos) * sin, -cos}); to.dot(out) < edge {
					sum += f.mirrorAt(in, to) * cos
				}
			}
		}
		want := sum * 2 / (rings * around) / (1 - math.Pow(math.Sin(5*math.Pi/180), 2))
		holds(t, "past the trap", f.sideways(in), want, 0.01*want)
	}
}

// What the mirrored beam meets, and the diffuse streams, by the cone it comes from
// and goes to, counted flake by flake; flakes that stand steeply send light onward
// too. Light that comes is light that goes.
func TestMeetingsAreCounted(t *testing.T) {
	total := func(w [nodes]float64) (sum float64) {
		for _, v := range w {
			sum += v
		}
		return sum
	}
	for _, tilt := range []float64{6, 30} {
		f := mustFilm(t, Lay{Index: 1.47, TiltDeg: tilt})
		e := f.entry(towards(45)[2])
		var want [2][2]float64 // down or onward up, by cone
		sum := 0.0
		for _, n := range f.tilts.lobe {
			v := e.d.mirrored(n)
			if v[2] >= 0 {
				continue
			}
			w := math.Abs(e.d.dot(n))
			sum += w
			for _, m := range f.tilts.again {
				to, way := v.mirrored(m)[2], 0
				if to < 0 {
					to, way = -to, 1
				}
				cone := 1
				if to > math.Sqrt(1-1/(1.47*1.47)) {
					cone = 0
				}
				want[way][cone] += w * math.Abs(v.dot(m)) / max(-v[2], grazing) / float64(len(f.tilts.again))
			}
		}
		all := 0.0
		for cone := range 2 {
			holds(t, "turned down", total(e.down[cone]), want[0][cone]/sum, 1e-9)
			holds(t, "going on", total(e.up[cone]), want[1][cone]/sum, 1e-9)
			all += total(e.down[cone]) + total(e.up[cone])
		}
		holds(t, "met in all", total(e.beam), all, 1e-12)
		holds(t, "met by the light", total(e.met), e.p0/e.d[2], 1e-9)
		// Light within a cone meets faces by ⟨|d·m|⟩/μ whichever way they send it.
		for cone := range 2 {
			low, high := 0.0, f.cones.critical
			if cone == 0 {
				low, high = high, 1
			}
			met, steps := 0.0, 40
			for i := range steps {
				mu := low + (high-low)*(float64(i)+0.5)/float64(steps)
				for _, m := range f.tilts.lobe {
					met += math.Abs(sine(mu)*m[0]+mu*m[2]) / float64(len(f.tilts.lobe)*steps)
				}
			}
			want := met * 2 / (low + high)
			holds(t, "met by a stream", total(f.mixing.absorption[cone]), want, 2e-3*want)
		}
		within := total(f.mixing.absorption[0])*f.cones.width[0]/f.cones.path[0] - total(f.mixing.back[0])*f.cones.width[0]/f.cones.path[0]
		if !(within > 0 && math.Abs(total(f.mixing.turned)) <= total(f.mixing.exchange)) {
			t.Errorf("tilt %g°: %g goes on within the cone; exchange %g, of it %g", tilt, within, total(f.mixing.exchange), total(f.mixing.turned))
		}
	}
}

// Sizes: one size is its own mean, and the spread is half of d90 to d10 in ln d
// over the normal's 90 % point.
func TestSizeMoments(t *testing.T) {
	one := Size{D50: 20}
	holds(t, "one size", one.Moment(2), 400, 1e-10)
	holds(t, "discs of 20 µm", one.PerCM2(1), 1e8/(math.Pi*100), 1e-4)
	holds(t, "evenly bright", one.unevenness(Blur{0.003, 0.3}), 1, 1e-12)
	z := Size{20 * math.Exp(-z90*0.4), 20, 20 * math.Exp(z90*0.4)}
	holds(t, "spread", z.Spread(), 0.4, 1e-12)
	// Ratios of moments by area are those of a lognormal about ln d50.
	for _, k := range []float64{-2, 1, 2, 4} {
		want := math.Exp(k*math.Log(20) + k*k*0.16/2)
		holds(t, "⟨dᵏ⟩ by area", z.Moment(k+2)/z.Moment(2)/want, 1, 1e-12)
	}
	for _, z := range []Size{{20, 20, 20}, {0, 20, 40}, {30, 20, 20}} {
		holds(t, "no spread", z.Spread(), 0, 0)
	}
	// With nothing but the lamp and eye, brightness goes as d², so its unevenness is
	// ⟨d⁴⟩/⟨d²⟩² of a lognormal, e^(4 spread²); with nothing but diffraction, as
	// d⁴/Ω = d⁶ does by number: e^(16 spread²).
	holds(t, "steady light", z.unevenness(Blur{1, 0}), math.Exp(4*0.16), 1e-9)
	holds(t, "diffracted light", z.unevenness(Blur{0, 1}), math.Exp(16*0.16), 1e-9)
}

// Coverages between the named ones: linear in the logarithm of the amount.
func TestTiltBetweenCoverages(t *testing.T) {
	for apply, want := range map[float64]float64{0.1: 15, 0.5: 15, math.Sqrt(0.5): 12.5, 1: 10, math.Sqrt(2): 8, 2: 6, 5: 6} {
		holds(t, "tilt", TiltFor(apply), want, 1e-12)
	}
	for _, c := range []struct {
		apply, tilt float64
		at, count   int
	}{{1, 10, 1, 3}, {1, 9, 1, 4}, {0.2, 15, 0, 4}, {1.5, 8, 2, 4}, {3, 6, 3, 4}} {
		list, at := Beside(c.apply, c.tilt)
		if at != c.at || len(list) != c.count || list[at].MgPerCM2 != c.apply || list[at].SigmaDeg != c.tilt {
			t.Errorf("%g mg/cm² at %g°: place %d of %+v", c.apply, c.tilt, at, list)
		}
	}
}

// In 45:0 nothing is seen of a lobe but at its own tilt, and a film's flakes mirror
// at the local incidence half way between light and eye: by Lit, and by hand.
func TestLitIncidences(t *testing.T) {
	light := skin.Presets()[1]
	g, err := drawer(t).Find("pale gold")
	if err != nil {
		t.Fatal(err)
	}
	w := Worn{Ground: Ground{Reflectance: light.Reflectance}, Parts: []Part{{Pigment: g, Percent: 4}}, Apply: 1}
	l, err := w.Lit()
	if err != nil {
		t.Fatal(err)
	}
	in := func(deg float64) float64 { return math.Asin(math.Sin(deg*math.Pi/180)/l.Index) * 180 / math.Pi }
	for i, aspecular := range []float64{75, 45, 15} {
		// Light comes at 45°, the eye stands at 45° − aspecular on the far side.
		holds(t, "local incidence", l.LocalDeg[i], (in(45)+in(45-aspecular))/2, 1e-9)
	}
	if flake.Aspecular[1] != 45 || l.TiltDeg != 10 {
		t.Errorf("aspecular %v, tilt %g", flake.Aspecular, l.TiltDeg)
	}
	look, err := Predict(w)
	if err != nil {
		t.Fatal(err)
	}
	if l.Reading != look.Reflectance {
		t.Error("the reading of a picture is not the prediction's")
	}
}

// An angle is asked for between the mirror direction and the far horizon, and a wet
// lotion holds up to 60 % of oil; without any it is clear.
func TestLimitsOfAskedFilms(t *testing.T) {
	f := mustFilm(t, Lay{Index: 1.47, TiltDeg: 10})
	for deg, good := range map[float64]bool{0: false, 0.5: true, 134.5: true, 135: false, -5: false, math.NaN(): false} {
		if _, err := f.Angle(deg); (err == nil) != good {
			t.Errorf("%g°: %v", deg, err)
		}
	}
	for share, good := range map[float64]bool{0: true, 0.6: true, 0.61: false, -0.01: false, math.NaN(): false} {
		b, err := WetLotion(share, 1.45)
		if (err == nil) != good {
			t.Errorf("%g of oil: %v", share, err)
		}
		if share == 0 && b.S != (colour.Spectrum{}) {
			t.Errorf("without oil: S %g", b.S[9])
		}
	}
	p := drawer(t).Pigments[0]
	worn := func(apply, percent float64) Worn {
		return Worn{Ground: Ground{Reflectance: skin.Presets()[1].Reflectance}, Apply: apply, Parts: []Part{{Pigment: p, Percent: percent}}}
	}
	for amounts, good := range map[[2]float64]bool{
		{0, 3}: true, {MaxApply, 3}: true, {MaxApply + 0.1, 3}: false, {-0.1, 3}: false, {math.NaN(), 3}: false,
		{1, 0}: true, {1, 100}: true, {1, 100.1}: false, {1, -0.1}: false, {1, math.NaN()}: false,
	} {
		if _, err := Predict(worn(amounts[0], amounts[1])); (err == nil) != good {
			t.Errorf("%g mg/cm² at %g %%: %v", amounts[0], amounts[1], err)
		}
	}
	// Flakes that mirror nothing scatter nothing when they are stirred.
	black := colour.Constant(2)
	stirred := f.Stirred(Facing(5, &black, &colour.Spectrum{}))
	holds(t, "χ_0", stirred.Moments[0][3], 1, 0)
	holds(t, "χ_1", stirred.Moments[1][3], 0, 0)
	holds(t, "μs", stirred.MuS[3], 0, 0)
	holds(t, "μa", stirred.MuA[3], 1, 1e-12)
}

// Of a trace of flakes alike at every angle a picture's beam is the share of light
// that meets them, their area, times what they mirror of it, whatever the direction.
func TestLitBeamOfATrace(t *testing.T) {
	const perCM2 = 1e-6
	p := &palette.Pigment{Name: "demo", Optics: palette.Optics{Flake: true, FaceArea: 5, K: colour.Constant(0.5), S: colour.Constant(1.5)}}
	w := Worn{Ground: Ground{Reflectance: skin.Presets()[1].Reflectance}, Parts: []Part{{Pigment: p, Percent: 100 * perCM2}}, Apply: 1}
	l, err := w.Lit()
	if err != nil {
		t.Fatal(err)
	}
	for i := range l.LocalDeg {
		for b, v := range l.Beams[0][i] {
			holds(t, "beam", v/perCM2, 1.5, 0.005)
			if t.Failed() {
				t.Fatalf("angle %d, band %d", i, b)
			}
		}
	}
}

// The mean of e^−xz over the depth and its slope, by series and by form.
func TestMeanFading(t *testing.T) {
	for _, x := range []float64{1e-12, 1e-4, 0.005, 0.0199, 0.02, 0.5, 30} {
		m, by := mean(x, math.Exp(-x))
		holds(t, "mean", m, -math.Expm1(-x)/x, 1e-14)
		// Of it the slope is −∫ z e^−xz dz, here by Simpson's rule.
		want, steps := 0.0, 2000
		for i := range steps + 1 {
			z, w := float64(i)/float64(steps), 2.0
			switch {
			case i == 0 || i == steps:
				w = 1
			case i%2 == 1:
				w = 4
			}
			want -= w * z * math.Exp(-x*z) / float64(3*steps)
		}
		holds(t, "slope", by, want, 1e-9)
	}
}

// Of skin's mirror, by Fresnel's sines and tangents at 45° on an index of 1.40, a 45:0
// reading of bare skin has the share asked for beside 0.35.
func TestHazeIsWhatIsAsked(t *testing.T) {
	in := math.Pi / 4
	out := math.Asin(math.Sin(in) / 1.40)
	s, p := math.Sin(in-out)/math.Sin(in+out), math.Tan(in-out)/math.Tan(in+out)
	for _, off := range []float64{-0.2, 0, 0.15} {
		f := mustFilm(t, Lay{Index: 1.47, TiltDeg: 10, HazeOff: off})
		read, err := f.Bare(colour.At45, &Under{Mirror: 1})
		if err != nil {
			t.Fatal(err)
		}
		holds(t, "haze", read[9], (0.35+off)*(s*s+p*p)/2, 1e-12)
	}
}
