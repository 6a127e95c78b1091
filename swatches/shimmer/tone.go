package shimmer

import (
	"image"
	"math"

	"tawny/colour"
	"tawny/colour/parallel"
)

// Up to a knee a value is shown as it is. In even light, where a picture is the
// reading, that leaves every skin and most films untouched: 0.8 of the perfect
// diffuser is L* 92. A light that gleams needs more room above the skin.
const (
	evenKnee = 0.8
	litKnee  = 0.65
)

// knee is the rig's.
func (s Scene) knee() float64 {
	if s.FillShare == 1 {
		return evenKnee
	}
	return litKnee
}

// paled is how far a light beyond the screen goes to white, as every picture of one
// does, instead of staying in its colour: so its middle stands out (drawn by eye).
const paled = 0.4

// rolled is the curve of tone.
func rolled(v, knee float64) float64 {
	if v <= knee {
		return v
	}
	root := math.Sqrt(1 + 4./3*(v-knee)/(1-knee))
	return 1 - (1-knee)/(root*math.Sqrt(root))
}

// tone brings linear light to a screen, each channel 0 to 1. Above the knee k the
// brightest channel v rolls off towards white as
//
//	v′ = 1 − (1 − k) u^(−3/4),  u = 1 + 4/3 · (v − k)/(1 − k)
//
// which meets the straight part with the same slope and never reaches 1, so slowly
// that a gleam of ten times a diffuser still has its lights and shades; the other
// channels follow partly in proportion and partly each along the curve, so a glint
// pales and turns in hue by less than 20°. A colour outside sRGB
// is then moved towards the grey of the same luminance just far enough.
func tone(r, g, b, knee float64) (float64, float64, float64) {
	if v := max(r, g, b); v > knee {
		k := (1 - paled) * rolled(v, knee) / v
		r, g, b = r*k+paled*rolled(r, knee), g*k+paled*rolled(g, knee), b*k+paled*rolled(b, knee)
	}
	if low := math.Min(r, math.Min(g, b)); low < 0 {
		// Rec. 709 luminance, which is sRGB's.
		y := math.Max(0, 0.2126*r+0.7152*g+0.0722*b)
		k := 0.0
		if y > 0 {
			k = y / (y - low)
		}
		r, g, b = y+k*(r-y), y+k*(g-y), y+k*(b-y)
	}
	return r, g, b
}

// tone brings every pixel to a screen.
func (p *Picture) tone(knee float64) {
	parallel.For(0, p.Height, func(y int) {
		row := p.Pix[3*y*p.Width : 3*(y+1)*p.Width]
		for i := 0; i < len(row); i += 3 {
			r, g, b := tone(float64(row[i]), float64(row[i+1]), float64(row[i+2]), knee)
			row[i], row[i+1], row[i+2] = float32(r), float32(g), float32(b)
		}
	})
}

// onto draws the toned picture on a screen's, 8-bit sRGB, left pixels from its left.
// Each value is rounded up or down by a fixed pattern of chance in proportion to
// what it lies between, so that the slow shading of skin shows no steps.
func (p *Picture) onto(m *image.RGBA, left int) {
	w := p.Width
	parallel.For(0, p.Height, func(y int) {
		from := p.Pix[3*y*p.Width : 3*(y+1)*p.Width]
		to := m.Pix[y*m.Stride+4*left : y*m.Stride+4*(left+w)]
		grain := mix(uint64(y))
		for x := range w {
			bits := mix(grain + uint64(left+x)*golden)
			to[4*x] = encode(from[3*x], uint8(bits))
			to[4*x+1] = encode(from[3*x+1], uint8(bits>>8))
			to[4*x+2] = encode(from[3*x+2], uint8(bits>>16))
			to[4*x+3] = 255
		}
	})
}

const encodeSteps = 1 << 14

// encoded holds sRGB's transfer curve (IEC 61966-2-1) in 1/256 of an 8-bit
// step.
var encoded = encodeTable()

func encodeTable() (t [encodeSteps + 1]uint16) {
	for i := range t {
		t[i] = uint16(math.Round(255 * 256 * colour.EncodeSRGB(float64(i)/encodeSteps)))
	}
	return t
}

// encode returns the 8-bit value of linear v, 0 to 1, rounded by grain.
func encode(v float32, grain uint8) uint8 {
	i := int(min(max(v, 0), 1)*encodeSteps + 0.5)
	return uint8((uint32(encoded[i]) + uint32(grain)) >> 8)
}
