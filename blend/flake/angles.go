package flake

import "math"

// Aspecular lists the viewing directions reported, in degrees from the mirror
// direction towards the light, with the light at 45° in air. 15, 45 and 110
// are ASTM E2194's; 75 is a common addition.
var Aspecular = [4]float64{15, 45, 75, 110}

// LocalIncidence returns the angle, degrees in the binder, at which light from
// 45° meets the flakes that mirror it into each of Aspecular.
func LocalIncidence(binder float64) (deg [4]float64) {
	const rad = math.Pi / 180
	in := math.Asin(math.Sin(45*rad) / binder)
	for i, a := range Aspecular {
		out := math.Asin(math.Sin((a-45)*rad) / binder)
		deg[i] = math.Abs(in-out) / 2 / rad
	}
	return deg
}
