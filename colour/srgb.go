package colour

import (
	"fmt"

	"github.com/lucasb-eyer/go-colorful"
)

// RGB8 is an 8-bit sRGB colour (IEC 61966-2-1) for screens and pictures.
type RGB8 struct{ R, G, B uint8 }

// Hex returns "#rrggbb".
func (c RGB8) Hex() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// RGBA makes RGB8 an image/color.Color.
func (c RGB8) RGBA() (r, g, b, a uint32) {
	return uint32(c.R) * 0x101, uint32(c.G) * 0x101, uint32(c.B) * 0x101, 0xffff
}

// SRGB returns the nearest sRGB colour to a CIELAB colour seen in D65/2, and
// whether it is inside the gamut. A colour outside keeps its lightness and hue
// and loses chroma until it fits; above L* 100 and below 0 only white and
// black are left.
func SRGB(c Lab) (rgb RGB8, inGamut bool) {
	if col := colorfulLab(c); valid(col) {
		return rgb8(col), true
	}
	if c.L >= 100 {
		return RGB8{255, 255, 255}, false
	}
	if c.L <= 0 {
		return RGB8{}, false
	}
	low, high := 0.0, 1.0 // fraction of the chroma kept
	for high-low > 1e-4 {
		mid := (low + high) / 2
		if valid(colorfulLab(Lab{c.L, c.A * mid, c.B * mid})) {
			low = mid
		} else {
			high = mid
		}
	}
	return rgb8(colorfulLab(Lab{c.L, c.A * low, c.B * low})), false
}

// LinearSRGB returns linear-light sRGB (1 = white) of a CIELAB colour in
// D65/2, not clipped: a colour outside the gamut has parts below 0 or above 1.
func LinearSRGB(c Lab) (r, g, b float64) { return colorfulLab(c).LinearRgb() }

// DecodeSRGB returns the linear light of a stored value, and EncodeSRGB the value
// of a light, all from 0 to 1 (IEC 61966-2-1).
func DecodeSRGB(v float64) float64 {
	light, _, _ := colorful.Color{R: v}.LinearRgb()
	return light
}

// EncodeSRGB is the inverse of DecodeSRGB.
func EncodeSRGB(light float64) float64 { return colorful.LinearRgb(light, 0, 0).R }

// LinearRGB returns linear-light sRGB, 1 for white, of X, Y, Z in D65 (Y = 100
// for white), not clipped (IEC 61966-2-1, its matrix inverted to full
// precision).
func (c XYZ) LinearRGB() [3]float64 {
	r, g, b := colorful.XyzToLinearRgb(c.X/100, c.Y/100, c.Z/100)
	return [3]float64{r, g, b}
}

// colorfulLab goes by go-colorful, whose D65 white (0.95047, 1, 1.08883) is
// ours to 2·10⁻⁶; it counts in hundredths.
func colorfulLab(c Lab) colorful.Color { return colorful.Lab(c.L/100, c.A/100, c.B/100) }

// valid allows half of an 8-bit step beyond the cube, which rounds into it.
func valid(c colorful.Color) bool {
	const e = 0.5 / 255
	return c.R >= -e && c.R <= 1+e && c.G >= -e && c.G <= 1+e && c.B >= -e && c.B <= 1+e
}

func rgb8(c colorful.Color) RGB8 {
	r, g, b := c.Clamped().RGB255()
	return RGB8{r, g, b}
}

// Lab returns the CIELAB colour (D65/2) of an sRGB colour.
func (c RGB8) Lab() Lab {
	col := colorful.Color{R: float64(c.R) / 255, G: float64(c.G) / 255, B: float64(c.B) / 255}
	l, a, b := col.Lab()
	return Lab{l * 100, a * 100, b * 100}
}

// Screen returns what to show on a screen for a colour seen under v: the
// colour is carried to D65 by [Adapt], as an eye used to v would see it, then
// mapped into sRGB.
func (v *Viewing) Screen(c Lab) (rgb RGB8, inGamut bool) {
	if v == D65 {
		return SRGB(c)
	}
	return SRGB(D65.LabOf(Adapt(v.XYZOf(c), v.white, D65.white)))
}
