package shimmer

import "tawny/colour"

// eye turns a spectrum into linear sRGB as seen under a viewing: X, Y, Z, carried
// to D65 by colour.Adapt where eyes are used to the light, then to sRGB's primaries
// (IEC 61966-2-1). All of it is linear, so it is one weight for each band and
// channel.
type eye struct{ weights [3]colour.Spectrum }

func newEye(v *colour.Viewing, used bool) *eye {
	w := v.Weights()
	// The columns of the whole linear map, from its action on X, Y and Z.
	var column [3][3]float64
	for i, unit := range [3]colour.XYZ{{X: 1}, {Y: 1}, {Z: 1}} {
		if used {
			unit = colour.Adapt(unit, v.White(), colour.D65.White())
		}
		column[i] = unit.LinearRGB()
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

func (e *eye) see(s *colour.Spectrum) (c rgb) {
	for ch := range c {
		for b, v := range s {
			c[ch] += e.weights[ch][b] * v
		}
	}
	return c
}
