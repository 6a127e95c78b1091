package shimmer

import (
	"fmt"
	"math"
)

// Scene is the piece of arm, the lights and the eye. Angles are in one plane
// across the arm, from the normal at the middle of the picture towards its
// top, degrees. The zero Scene is key light at 45°, the eye straight above,
// an arm of 36 mm radius, three quarters key and one quarter fill.
type Scene struct {
	LightDeg float64 // 0 means 45
	EyeDeg   float64
	// LampDeg is the half-angle of the lamp as the skin sees it; 0 means 3,
	// a lantern of 20 cm at 2 m.
	LampDeg float64
	// RadiusMM is the arm's radius; 0 means 36 (a forearm about 23 cm round,
	// common practice). Flat makes it a plane.
	RadiusMM float64
	Flat     bool
	// FillShare is the part of the light on the middle of the picture that is
	// fill; 0 means 0.25. KeyOnly makes it none.
	FillShare float64
	KeyOnly   bool
}

// Filled returns the scene with its zeros replaced by what they stand for.
func (s Scene) Filled() Scene {
	if s.LightDeg == 0 {
		s.LightDeg = 45
	}
	if s.LampDeg == 0 {
		s.LampDeg = 3
	}
	if s.RadiusMM == 0 {
		s.RadiusMM = 36
	}
	if s.FillShare == 0 {
		s.FillShare = 0.25
	}
	if s.KeyOnly {
		s.FillShare = 0
	}
	return s
}

// Check reports the first value that cannot be pictured; zeros stand for their
// defaults.
func (s Scene) Check() error {
	s = s.Filled()
	for _, c := range []struct {
		name        string
		v, low, top float64
	}{
		{"the light's angle", s.LightDeg, -85, 85}, {"the eye's angle", s.EyeDeg, -85, 85},
		{"the lamp's half-angle", s.LampDeg, 0, 30}, {"the arm's radius in mm", s.RadiusMM, 1, 1e6},
		{"the fill's share", s.FillShare, 0, 1},
	} {
		if !(c.v >= c.low && c.v <= c.top) {
			return fmt.Errorf("%s is %g; %g to %g is accepted", c.name, c.v, c.low, c.top)
		}
	}
	return nil
}

// across is the direction at deg from the middle normal, in the plane across
// the arm; y points to the top of the picture.
func across(deg float64) vector {
	sin, cos := math.Sincos(deg * degree)
	return vector{0, sin, cos}
}

// normalAt returns the skin's normal where the picture is y mm above its
// middle, and whether the arm is there at all.
func (s Scene) normalAt(y float64) (vector, bool) {
	if s.Flat {
		return vector{0, 0, 1}, true
	}
	// Seen from EyeDeg, a point of normal angle φ lies r·sin(φ − EyeDeg) above
	// the arm's axis, and the middle of the picture has φ = 0.
	u := y/s.RadiusMM + math.Sin(-s.EyeDeg*degree)
	if u < -0.999 || u > 0.999 {
		return vector{}, false
	}
	return across(math.Asin(u)/degree + s.EyeDeg), true
}

// fillAt is the fill light on a normal against that on the middle of the
// picture: a dome brightest overhead, as in a room, (1 + n·up)/2 of it seen.
func fillAt(normal vector) float64 { return (1 + normal.z) / 2 }
