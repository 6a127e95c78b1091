package shimmer

import (
	"math"
	"testing"

	"github.com/lucasb-eyer/go-colorful"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/colour/skin"
)

// R_lobe/P of design's table, published nowhere else: both tilts at the four
// aspecular angles, light at 45°, index 1.47, to the digits given there. The
// film package's own figures must agree to rounding.
func TestLobeTable(t *testing.T) {
	first := map[float64]float64{}
	for i, row := range []struct{ aspecular, sigma10, sigma15 float64 }{
		{15, 1.90, 0.871}, {45, 0.770, 0.607}, {75, 0.113, 0.314}, {110, 0.0043, 0.098},
	} {
		for sigma, want := range map[float64]float64{10: row.sigma10, 15: row.sigma15} {
			g, ok := geometry(vector{0, 0, 1}, across(45), across(aspecularEye(row.aspecular)), laid(1.47, sigma), Gloss{})
			if !ok {
				t.Fatal("the eye is below the skin")
			}
			// The table's D is by the flakes' face, the lobe's by their area seen from above.
			if math.Abs(g.weight/(want*cosTilt(row.aspecular))-1) > 0.012 {
				t.Errorf("aspecular %g°, σ %g°: %.4f, want %.4g", row.aspecular, sigma, g.weight, want*cosTilt(row.aspecular))
			}
			f := laid(1.47, sigma)
			in, out := across(45), across(aspecularEye(row.aspecular))
			lobe := f.Lobe([3]float64{-in.y, 0, in.z}, [3]float64{out.y, 0, -out.z})
			if ratio := lobe / g.weight; i == 0 {
				first[sigma] = ratio
			} else if math.Abs(ratio/first[sigma]-1) > 1e-9 || math.Abs(ratio-1) > 0.1 {
				t.Errorf("aspecular %g°: film's lobe %.10f, here %.10f", row.aspecular, lobe, g.weight)
			}
		}
	}
}

// cosTilt is that of the flakes which send light at 45° to an aspecular angle, by
// Snell's law.
func cosTilt(aspecular float64) float64 {
	in := math.Asin(math.Sqrt2 / 2 / 1.47)
	out := math.Asin(math.Sin(aspecularEye(aspecular)*degree) / 1.47)
	return math.Cos((in + out) / 2)
}

// laid returns how a film lies.
func laid(index, tilt float64) *film.Film {
	f, err := film.Kept(film.Lay{Index: index, TiltDeg: tilt})
	if err != nil {
		panic(err)
	}
	return f
}

// Light and eye may be exchanged (Helmholtz).
func TestLobeIsReciprocal(t *testing.T) {
	for _, a := range [][2]float64{{45, -30}, {60, 10}, {5, 80}} {
		n := across(12)
		g, _ := geometry(n, across(a[0]), across(a[1]), laid(1.5, 12), Gloss{1.4, 0.3})
		h, _ := geometry(n, across(a[1]), across(a[0]), laid(1.5, 12), Gloss{1.4, 0.3})
		if math.Abs(g.weight/h.weight-1) > 1e-12 || math.Abs(g.mirror/h.mirror-1) > 1e-12 {
			t.Errorf("%v: %.15f and gloss %.15f one way, %.15f and %.15f the other", a, g.weight, g.mirror, h.weight, h.mirror)
		}
	}
}

// The moments of the size distribution agree with sums over it, and the
// flakes' faces add up to the area they were counted from.
func TestSizes(t *testing.T) {
	s := film.Size{D10: 10, D50: 24, D90: 55}
	for _, k := range []float64{2, 1, -2} {
		// Volume goes as d² for flakes of one thickness: sum dᵏ⁻² by volume
		// over sum d⁻² by volume.
		up, down := 0.0, 0.0
		const n = 20001
		for i := range n {
			z := -8 + 16*float64(i)/(n-1)
			d := s.D50 * math.Exp(z*s.Spread())
			w := math.Exp(-z * z / 2)
			up += w * math.Pow(d, k-2)
			down += w * math.Pow(d, -2)
		}
		if got := s.Moment(k); math.Abs(got/(up/down)-1) > 1e-6 {
			t.Errorf("mean of d^%g is %g, summed %g", k, got, up/down)
		}
	}
	for z, want := range map[float64]float64{-1.2816: 10.2, 0: 24, 1.2816: 55} {
		// d10 and d90 need not be symmetric about ln d50 in a real grade.
		if got := atQuantile(s, z, 2); math.Abs(got/want-1) > 0.03 {
			t.Errorf("volume percentile at z %.2f is %.1f µm, want %.1f", z, got, want)
		}
	}
	n := s.PerCM2(0.6)
	if area := n * math.Pi / 4 * s.Moment(2) * 1e-8; math.Abs(area-0.6) > 1e-12 {
		t.Errorf("faces of %.0f flakes add up to %g cm²", n, area)
	}
	// All of one size: 0.6 cm² of 20 µm discs are 191,000.
	if n := (film.Size{D50: 20}).PerCM2(0.6); math.Abs(n-190986) > 1 {
		t.Errorf("%.0f discs of 20 µm cover 0.6 cm²", n)
	}
}

// The glints' brightness has mean 1, and large flakes are the brighter.
func TestBrightness(t *testing.T) {
	b := newBrightness(film.Size{D10: 10, D50: 24, D90: 55}, laid(1.47, 10).NewBlur(3, 1, 1))
	sum := 0.0
	const n = 1024
	for i := range n {
		for j := range n {
			sum += b.at((float64(i)+0.5)/n, (float64(j)+0.5)/n)
		}
	}
	if math.Abs(sum/n/n-1) > 0.01 {
		t.Errorf("mean brightness %.4f", sum/n/n)
	}
	if !(b.at(0.9, 0) > b.at(0.1, 0)) {
		t.Error("larger flakes are not brighter")
	}
}

// A surface's gloss, summed over all directions it goes to, is Fresnel's
// reflection of what comes in: here for slopes small enough to miss nobody.
func TestGlossKeepsItsLight(t *testing.T) {
	const n, slope = 1.4, 0.08
	light := across(20)
	sum := 0.0
	const step = 0.01
	for theta := step / 2; theta < math.Pi/2; theta += step {
		for phi := step / 2; phi < 2*math.Pi; phi += step {
			sin, cos := math.Sincos(theta)
			ps, pc := math.Sincos(phi)
			g, _ := geometry(vector{0, 0, 1}, light, vector{sin * pc, sin * ps, cos}, laid(1.47, 10), Gloss{n, slope})
			sum += g.mirror * cos / math.Pi * sin * step * step
		}
	}
	if want := colour.Fresnel(n, light.z); math.Abs(sum/want-1) > 0.03 {
		t.Errorf("%.5f of the light is mirrored, Fresnel has %.5f", sum, want)
	}
}

// Relief leans both ways alike and takes no light away on the whole.
func TestReliefIsEven(t *testing.T) {
	r := newRelief(0.08)
	lean, shade, spread := 0.0, 0.0, 0.0
	for i := range r.lean {
		lean += float64(r.lean[i])
		spread += float64(r.lean[i]) * float64(r.lean[i])
		shade += float64(r.shade[i])
	}
	n := float64(len(r.lean))
	if math.Abs(lean/n) > 0.01 || math.Abs(shade/n-1) > 1e-5 || math.Sqrt(spread/n) < 1 {
		t.Errorf("mean lean %.4f°, spread %.2f°, mean shade %.6f", lean/n, math.Sqrt(spread/n), shade/n)
	}
}

// Without flakes the film is plain skin: even light under the key, and an oil
// base changes nothing (the model's own limit).
func TestBareSkin(t *testing.T) {
	f, err := Of(worn(t, "light", 0, nil))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Flakes) != 0 {
		t.Errorf("bare skin has %d kinds of flake", len(f.Flakes))
	}
	look, err := film.Predict(worn(t, "light", 0, nil))
	if err != nil {
		t.Fatal(err)
	}
	for i := range f.Even { // what skin's own surface throws sideways is left out of pictures' light
		f.Even[i] += skin.HazeShare * colour.Fresnel(skin.SurfaceIndex, math.Sqrt2/2)
	}
	if de := colour.DeltaE00(colour.D65.Lab(&f.Even), look.Angles[1].Lab); de > 1e-6 {
		t.Errorf("bare skin at 45° is ΔE00 %g from the model", de)
	}
}

// A glint keeps its light wherever it falls and however far it reaches, lies where
// it fell, ends round and without an edge where it is bright, and is half as high at half the finest spot an eye tells apart.
func TestSpreadKeepsTheLight(t *testing.T) {
	for _, mm := range []float64{0.2, 0.085, 0.04, 0.01} {
		s := spreadAt(mm)
		for foot := s.least; foot <= s.most; foot++ {
			for place, w := range s.kernels[foot] {
				sum, x, y := 0.0, 0.0, 0.0
				for i, v := range w {
					sum += float64(v)
					x += float64(v) * (float64(i%(2*foot+1)-foot) + 0.5)
					y += float64(v) * (float64(i/(2*foot+1)-foot) + 0.5)
				}
				if rim := w[foot]; foot > s.least && (w[0] != 0 || rim > 0.05*w[len(w)/2]) {
					t.Errorf("%g mm, %d pixels, place %d: ends with an edge, %.3g in a corner and %.3g at its top", mm, foot, place, w[0], rim)
				}
				if math.Abs(sum-1) > 1e-5 {
					t.Errorf("%g mm, %d pixels, place %d: adds up to %g", mm, foot, place, sum)
				}
				at := (float64(place%subpixels) + 0.5) / subpixels
				if down := (float64(place/subpixels) + 0.5) / subpixels; math.Hypot(x-at, y-down) > 0.3 {
					t.Errorf("%g mm, %d pixels, place %d: the middle is at %.2f %.2f", mm, foot, place, x, y)
				}
			}
		}
	}
	const mm = 0.01
	s := spreadAt(mm)
	half := spotMM / 2 / mm
	if v := 1 + half*half/(s.alpha*s.alpha); math.Abs(1/(v*v)-0.5) > 1e-9 {
		t.Errorf("at half a spot the light is %.3f of the middle's", 1/(v*v))
	}
}

// The source of chance is even, and its Poisson counts have the mean and
// variance they should.
func TestChance(t *testing.T) {
	c := stream(9, 4)
	var bins [16]int
	const n = 160000
	for range n {
		bins[int(c.next()*16)]++
	}
	chi := 0.0
	for _, b := range bins {
		chi += math.Pow(float64(b)-n/16, 2) / (n / 16)
	}
	if chi > 37.7 { // 0.1 % point of χ² with 15 degrees of freedom
		t.Errorf("χ² of 16 bins is %.1f", chi)
	}
	for _, mean := range []float64{0.02, 3, 60, 1500} {
		sum, square := 0.0, 0.0
		const rows = 4000
		for row := range rows {
			c := stream(1, row)
			k := float64(c.poisson(mean))
			sum += k
			square += k * k
		}
		m := sum / rows
		v := square/rows - m*m
		if math.Abs(m-mean) > 5*math.Sqrt(mean/rows) {
			t.Errorf("Poisson of mean %g has mean %.3f", mean, m)
		}
		if math.Abs(v/mean-1) > 5*math.Sqrt((2+1/mean)/rows) {
			t.Errorf("Poisson of mean %g has variance %.3f", mean, v)
		}
	}
}

// Matte colours pass the tone unchanged, brighter ones roll off smoothly, paler the
// brighter they are, never reach white, and turn in hue no more than 20°, less than
// half of what a powder's glints may lie from its own.
func TestTone(t *testing.T) {
	for _, knee := range []float64{evenKnee, litKnee} {
		toned(t, knee)
	}
}

func toned(t *testing.T, knee float64) {
	for _, v := range []float64{0, 0.1, 0.5, knee} {
		if r, g, b := tone(v, v/2, v/3, knee); r != v || g != v/2 || b != v/3 {
			t.Errorf("%g is shown as %g %g %g", v, r, g, b)
		}
	}
	last, slope, pale := knee, 1.0, 0.5
	hue := func(r, g, b float64) float64 {
		l, a, bb := colorful.LinearRgb(r, g, b).Lab()
		return colour.Lab{L: l, A: a, B: bb}.LCh().H
	}
	for v := knee + 0.001; v < 100; v *= 1.01 {
		r, g, b := tone(v, v/2, v/3, knee)
		if r <= last || r >= 1 {
			t.Errorf("%g is shown as %g after %g", v, r, last)
		}
		if s := (r - last) / (v - v/1.01); v > knee+0.02 && s > slope+1e-9 {
			t.Errorf("the roll-off steepens at %g", v)
		} else if v > knee+0.02 {
			slope = s
		}
		if turn := colour.HueTurn(hue(1, 1./2, 1./3), hue(r, g, b)); math.Abs(turn) > 20 {
			t.Errorf("%g turns by %.1f°", v, turn)
		}
		if g/r < pale-1e-12 || b >= g {
			t.Errorf("%g is shown as %g %g %g", v, r, g, b)
		}
		last, pale = r, g/r
	}
	// The straight part and the roll-off meet with one slope.
	a, _, _ := tone(knee+1e-6, 0, 0, knee)
	if math.Abs((a-knee)/1e-6-1) > 1e-4 {
		t.Errorf("slope past the knee is %g", (a-knee)/1e-6)
	}
	r, g, b := tone(0.3, 0.2, -0.05, knee)
	if r < 0 || g < 0 || math.Abs(b) > 1e-12 {
		t.Errorf("outside sRGB gives %g %g %g", r, g, b)
	}
	y := 0.2126*0.3 + 0.7152*0.2 - 0.0722*0.05
	if got := 0.2126*r + 0.7152*g + 0.0722*b; math.Abs(got-y) > 1e-12 {
		t.Errorf("luminance %g became %g", y, got)
	}
}

// Stage light shown in its own colour is orange beside daylight's white: of the
// three channels of a white, red is the most and blue the least.
func TestLightsOwnColour(t *testing.T) {
	stage, err := colour.FindIlluminant("stage")
	if err != nil {
		t.Fatal(err)
	}
	one := colour.Constant(1)
	v := colour.NewViewing(stage, colour.CIE1931)
	if w := newEye(v, false).see(&one); !(w[0] > 1.3*w[1] && w[1] > 1.3*w[2]) {
		t.Errorf("a white on stage is %v", w)
	}
	if w := newEye(v, true).see(&one); math.Abs(w[0]-w[2]) > 0.01 {
		t.Errorf("to eyes used to it a white on stage is %v", w)
	}
}

// The eye agrees with colour's own way from spectrum to linear sRGB, in
// daylight and on stage.
func TestEye(t *testing.T) {
	stage, err := colour.FindIlluminant("stage")
	if err != nil {
		t.Fatal(err)
	}
	s := worn(t, "tan", 0, nil).Ground.Reflectance
	for _, v := range []*colour.Viewing{colour.D65, colour.NewViewing(stage, colour.CIE1931)} {
		got := newEye(v, true).see(&s)
		lab := v.Lab(&s)
		if v != colour.D65 {
			lab = colour.D65.LabOf(colour.Adapt(v.XYZ(&s), v.White(), colour.D65.White()))
		}
		r, g, b := colour.LinearSRGB(lab)
		for i, want := range []float64{r, g, b} {
			// The colour package's sRGB matrix has 4 decimals.
			if math.Abs(got[i]-want) > 2e-4 {
				t.Errorf("%s: channel %d is %.5f, want %.5f", v.Name(), i, got[i], want)
			}
		}
	}
}
