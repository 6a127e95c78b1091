package colour

import "math"

// XYZ is a tristimulus value, scaled to Y = 100 for the perfect diffuser.
type XYZ struct{ X, Y, Z float64 }

// Lab is a CIE 1976 L*a*b* colour (ISO/CIE 11664-4). L* is 0 for black and
// 100 for the perfect diffuser; a lit flake may pass 100.
type Lab struct {
	L, A, B float64
}

// LCh is CIELAB in cylindrical form: chroma C*ab and hue angle h_ab in
// degrees, 0 to 360, counted from +a* (red) towards +b* (yellow).
type LCh struct {
	L, C, H float64
}

// The two constants of CIELAB's linear part in their exact form.
const (
	labEpsilon = 216.0 / 24389 // (6/29)³
	labKappa   = 24389.0 / 27  // (29/3)³
)

func labF(t float64) float64 {
	if t > labEpsilon {
		return math.Cbrt(t)
	}
	return (labKappa*t + 16) / 116
}

func labInverse(f float64) float64 {
	if t := f * f * f; t > labEpsilon {
		return t
	}
	return (116*f - 16) / labKappa
}

func labSlope(t float64) float64 {
	if t > labEpsilon {
		c := math.Cbrt(t)
		return 1 / (3 * c * c)
	}
	return labKappa / 116
}

// LabOf converts tristimulus values seen under v to CIELAB.
func (v *Viewing) LabOf(c XYZ) Lab {
	fx, fy, fz := labF(c.X/v.white.X), labF(c.Y/v.white.Y), labF(c.Z/v.white.Z)
	return Lab{116*fy - 16, 500 * (fx - fy), 200 * (fy - fz)}
}

// XYZOf is the inverse of LabOf.
func (v *Viewing) XYZOf(c Lab) XYZ {
	fy := (c.L + 16) / 116
	return XYZ{
		v.white.X * labInverse(fy+c.A/500),
		v.white.Y * labInverse(fy),
		v.white.Z * labInverse(fy-c.B/200),
	}
}

// LabSlope returns the 3 × 3 matrix of derivatives of L*, a*, b* (rows) by X,
// Y, Z (columns) at c, for solvers.
func (v *Viewing) LabSlope(c XYZ) [3][3]float64 {
	sx := labSlope(c.X/v.white.X) / v.white.X
	sy := labSlope(c.Y/v.white.Y) / v.white.Y
	sz := labSlope(c.Z/v.white.Z) / v.white.Z
	return [3][3]float64{
		{0, 116 * sy, 0},
		{500 * sx, -500 * sy, 0},
		{0, 200 * sy, -200 * sz},
	}
}

// Chroma returns C*ab.
func (c Lab) Chroma() float64 { return math.Hypot(c.A, c.B) }

// LCh converts to cylindrical form. The hue of a perfect grey is 0.
func (c Lab) LCh() LCh {
	h := math.Atan2(c.B, c.A) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	return LCh{c.L, c.Chroma(), h}
}

// Lab converts back to rectangular form.
func (c LCh) Lab() Lab {
	sin, cos := math.Sincos(c.H * math.Pi / 180)
	return Lab{c.L, c.C * cos, c.C * sin}
}

// Towards returns the colour a share t of the straight way to another.
func (c Lab) Towards(to Lab, t float64) Lab {
	return Lab{c.L + t*(to.L-c.L), c.A + t*(to.A-c.A), c.B + t*(to.B-c.B)}
}

// Finite reports whether all three numbers are finite.
func (c Lab) Finite() bool { return finite(c.L) && finite(c.A) && finite(c.B) }
