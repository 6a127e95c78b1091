package shimmer

import "tawny/colour"

// eye turns a spectrum into linear sRGB as seen under a viewing by eyes used
// to its light: X, Y, Z, carried to D65 by the linear Bradford transform, then
// to sRGB's primaries (IEC 61966-2-1). All of it is linear, so it is one
// weight for each band and channel.
type eye struct{ weights [3]colour.Spectrum }

func newEye(v *colour.Viewing) *eye {
	w := v.Weights()
	// The columns of the whole linear map, from its action on X, Y and Z.
	var column [3][3]float64
	for i, unit := range [3]colour.XYZ{{X: 1}, {Y: 1}, {Z: 1}} {
		c := colour.Adapt(unit, v.White(), colour.D65.White())
		column[i] = linear(c)
	}
	e := &eye{}
	for ch := range e.weights {
		for b := range e.weights[ch] {
			for i := range column {
				e.weights[ch][b] += column[i][ch] * w[i][b]
			}
		}
	}
	return e
}

// linear turns X, Y, Z (Y = 100 for white) into linear sRGB, 1 for white. The
// matrix is IEC 61966-2-1's inverse to full precision.
func linear(c colour.XYZ) [3]float64 {
	x, y, z := c.X/100, c.Y/100, c.Z/100
	return [3]float64{
		3.2409699419045214*x - 1.5373831775700935*y - 0.49861076029300328*z,
		-0.96924363628087983*x + 1.8759675015077207*y + 0.041555057407175613*z,
		0.055630079696993609*x - 0.20397695888897657*y + 1.0569715142428786*z,
	}
}

func (e *eye) see(s *colour.Spectrum) (c rgb) {
	for ch := range c {
		for b, v := range s {
			c[ch] += e.weights[ch][b] * v
		}
	}
	return c
}
