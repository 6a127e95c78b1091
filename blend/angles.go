package blend

import "math"

// LocalIncidence returns the angle, degrees in the binder, at which light
// meets a flake that mirrors it from 45° into each of Aspecular's directions.
func LocalIncidence(binder float64) (deg [4]float64) {
	inside := func(air float64) float64 { return math.Asin(math.Sin(air*math.Pi/180)/binder) * 180 / math.Pi }
	in := inside(45)
	for i, a := range Aspecular {
		// Both angles in the plane of incidence; the mirror direction is −in.
		view := inside(a - 45)
		deg[i] = math.Abs(in-view) / 2
	}
	return deg
}

// Aspecular lists the viewing directions reported, degrees from the mirror
// direction towards the light, under light at 45° in air. 15, 45 and 110 are
// ASTM E2194's.
var Aspecular = [4]float64{15, 45, 75, 110}
