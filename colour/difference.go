package colour

import "math"

// DeltaE76 is the CIE 1976 difference, the distance in CIELAB.
func DeltaE76(p, q Lab) float64 {
	return math.Sqrt((p.L-q.L)*(p.L-q.L) + (p.A-q.A)*(p.A-q.A) + (p.B-q.B)*(p.B-q.B))
}

// DeltaE00 is the CIEDE2000 difference with k_L = k_C = k_H = 1 (ISO/CIE
// 11664-6). The steps and their notation are those of Sharma, Wu and Dalal,
// "The CIEDE2000 color-difference formula", Color Res. Appl. 30:21 (2005).
func DeltaE00(p, q Lab) float64 { return math.Sqrt(DeltaE00Squared(p, q)) }

// DeltaE00Squared is the square of DeltaE00. It is smooth where the
// difference itself has a kink, at p = q, so it is what solvers minimise.
func DeltaE00Squared(p, q Lab) float64 {
	dl, dc, dh, rt := deltaE00Terms(p, q)
	return math.Max(0, dl*dl+dc*dc+dh*dh+rt*dc*dh)
}

// Parts00 returns the lightness, chroma and hue terms of CIEDE2000 from p to
// q, each in ΔE00 units and signed: q lighter, stronger, further round.
func Parts00(p, q Lab) (lightness, chroma, hue float64) {
	lightness, chroma, hue, _ = deltaE00Terms(p, q)
	return
}

// Residuals00 returns three numbers, smooth from colour to colour, whose squares add up
// to DeltaE00's: the rotation term goes with the second.
func Residuals00(p, q Lab) [3]float64 {
	dl, dc, dh, rt := deltaE00Terms(p, q)
	return [3]float64{dl, dc + rt/2*dh, math.Sqrt(1-rt*rt/4) * dh}
}

const pow25to7 = 6103515625.0 // 25⁷

// halfTurn is π with room for rounding: hues exactly opposite (pair 10 of
// Sharma et al.) count as no more than half a turn apart.
const halfTurn = math.Pi + 1e-12

// deltaE00Terms returns ΔL′/S_L, ΔC′/S_C, ΔH′/S_H and the rotation term R_T.
func deltaE00Terms(p, q Lab) (dl, dc, dh, rt float64) {
	c7 := pow7((p.Chroma() + q.Chroma()) / 2)
	g := 0.5 * (1 - math.Sqrt(c7/(c7+pow25to7)))
	a1, a2 := (1+g)*p.A, (1+g)*q.A
	c1, c2 := math.Hypot(a1, p.B), math.Hypot(a2, q.B)
	h1, h2 := hueRadians(a1, p.B), hueRadians(a2, q.B)

	// Hue difference and mean hue. Where a colour is grey its hue is none, and ΔH′
	// is 0 whatever they are.
	turn := h2 - h1
	switch {
	case turn > halfTurn:
		turn -= 2 * math.Pi
	case turn < -halfTurn:
		turn += 2 * math.Pi
	}
	mean := (h1 + h2) / 2
	switch {
	case math.Abs(h1-h2) <= halfTurn:
	case h1+h2 < 2*math.Pi:
		mean += math.Pi
	default:
		mean -= math.Pi
	}
	dH := 2 * math.Sqrt(c1*c2) * math.Sin(turn/2)

	c := (c1 + c2) / 2
	sl, sc, sh := weights00((p.L+q.L)/2, c, mean)
	x := (mean/deg - 275) / 25
	theta := 30 * deg * math.Exp(-x*x)
	c7 = pow7(c)
	rt = -2 * math.Sqrt(c7/(c7+pow25to7)) * math.Sin(2*theta)
	return (q.L - p.L) / sl, (c2 - c1) / sc, dH / sh, rt
}

const deg = math.Pi / 180

// weights00 returns S_L, S_C and S_H at a mean lightness, chroma and hue.
func weights00(l, c, hue float64) (sl, sc, sh float64) {
	l -= 50
	t := 1 - 0.17*math.Cos(hue-30*deg) + 0.24*math.Cos(2*hue) +
		0.32*math.Cos(3*hue+6*deg) - 0.20*math.Cos(4*hue-63*deg)
	return 1 + 0.015*l*l/math.Sqrt(20+l*l), 1 + 0.045*c, 1 + 0.015*c*t
}

// Ellipsoid00 returns W such that |W·ΔLab| is ΔE00 near a colour, but for the
// rotation term, which only blues have.
func Ellipsoid00(c Lab) [3][3]float64 {
	c7 := pow7(c.Chroma())
	g := 0.5 * (1 - math.Sqrt(c7/(c7+pow25to7)))
	a := (1 + g) * c.A
	h := math.Atan2(c.B, a)
	sl, sc, sh := weights00(c.L, math.Hypot(a, c.B), h)
	sin, cos := math.Sincos(h)
	return [3][3]float64{
		{1 / sl, 0, 0},
		{0, (1 + g) * cos / sc, sin / sc},
		{0, -(1 + g) * sin / sh, cos / sh},
	}
}

func pow7(x float64) float64 {
	x2 := x * x
	return x2 * x2 * x2 * x
}

func hueRadians(a, b float64) float64 {
	h := math.Atan2(b, a)
	if h < 0 {
		h += 2 * math.Pi
	}
	return h
}

// Shift returns the ΔE00 between one spectrum's colours under two lights, the
// second carried to the first's white as eyes used to each see them ([Adapt];
// CIELAB's own ratios to the white overstate it). It is what a dancer's shimmer
// does between daylight and the stage.
func Shift(s *Spectrum, first, second *Viewing) float64 {
	carried := Adapt(second.XYZOf(second.Lab(s)), second.white, first.white)
	return DeltaE00(first.Lab(s), first.LabOf(carried))
}
