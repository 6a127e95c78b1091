package skin

import (
	"math"

	"tawny/colour"
)

// SurfaceIndex is the refractive index of the outermost layer of dry skin
// (Anderson and Parrish 1981).
const SurfaceIndex = 1.55

// Surface is the share of light the skin's surface returns by itself, Fresnel
// at normal incidence, which is within 0.0001 of that at the instrument's 8°:
// 0.0465. A specular-included reading contains it.
var Surface = math.Pow((SurfaceIndex-1)/(SurfaceIndex+1), 2)

// inner is the share of diffuse light that the surface turns back from inside,
// 1 − (1 − r)/n² with r the outer diffuse reflectance: 0.625 for n = 1.55.
var inner = 1 - (1-diffuseFresnel(SurfaceIndex))/(SurfaceIndex*SurfaceIndex)

// through is what is left after both passes of the surface.
var through = (1 - Surface) * (1 - inner)

// diffuseFresnel returns the reflectance of a smooth surface of index n for
// diffuse light from outside: the Fresnel mean of both polarisations weighted
// by sin 2θ, by the midpoint rule (exact to 1e-6).
func diffuseFresnel(n float64) float64 {
	const steps = 2000
	sum := 0.0
	for i := 0; i < steps; i++ {
		sin, cos := math.Sincos((float64(i) + 0.5) / steps * math.Pi / 2)
		cosIn := math.Sqrt(1 - sin*sin/(n*n))
		s := (cos - n*cosIn) / (cos + n*cosIn)
		p := (n*cos - cosIn) / (n*cos + cosIn)
		sum += (s*s + p*p) / 2 * 2 * sin * cos
	}
	return sum * math.Pi / 2 / steps
}

// fromLogKS returns the reflectance without the surface's own light for
// y = ln K/S, and its slope by y. It lies strictly between 0 and 1 − Surface.
func fromLogKS(y float64) (r, slope float64) {
	q := math.Exp(y)
	g := 1 / (1 + q + math.Sqrt(q*(q+2))) // = 1 + q − √(q² + 2q), without the cancellation
	d := 1 - inner*g
	return through * g / d, -g * math.Sqrt(q/(q+2)) * through / (d * d)
}

// LogKS returns ln K/S below the surface for a reflectance r without the
// surface's own light, 0 < r < 1 − Surface; it is the inverse the fit needs.
func LogKS(r float64) float64 {
	g := r / (through + inner*r)
	return math.Log((1 - g) * (1 - g) / (2 * g))
}

// free returns a reflectance with the surface's own light taken off, for an
// included reading; an excluded one has none.
func free(r *colour.Spectrum, excluded bool) colour.Spectrum {
	s := *r
	if !excluded {
		for i := range s {
			s[i] -= Surface
		}
	}
	return s
}
