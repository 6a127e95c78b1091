package shimmer

import (
	"math"
)

// Rig is the light that every picture is taken in.
type Rig string

// The rigs.
const (
	Window Rig = "window" // broad, about 14° to either side
	Lamp   Rig = "lamp"   // 3°: a lantern of 20 cm at 2 m
	Even   Rig = "even"   // from all round: what an instrument and a flat patch show
)

// Rigs lists them, the usual one first.
var Rigs = []Rig{Window, Lamp, Even}

// Words say what light a picture was taken in, and where it stood, such as "above".
func (r Rig) Words(where string) string {
	switch r {
	case Lamp:
		return "one small lamp " + where + ", a little light from all round"
	case Even:
		return "even light from all round"
	}
	return "a window " + where + ", some light from all round"
}

// Scene returns the rig's lights on an arm, seen square on.
func (r Rig) Scene() Scene {
	switch r {
	case Lamp:
		return Scene{LightDeg: sheenDeg, LampDeg: 3, FillShare: 0.25}
	case Even:
		return Scene{LightDeg: sheenDeg, LampDeg: 3, FillShare: 1}
	}
	return Scene{LightDeg: sheenDeg, LampDeg: 14, FillShare: 0.4}
}

// sheenDeg puts the sheen where the arm's normal leans half of it up.
const sheenDeg = 45.0

// Scene is the piece of arm, the light and the eye. Angles are in one plane
// across the arm, from the normal at the middle of the picture towards its
// top, degrees. FillShare 1 is even light, which falls alike on all of the arm.
type Scene struct {
	LightDeg, EyeDeg float64
	LampDeg          float64 // half angle of the lamp as the skin sees it
	FillShare        float64 // part of the light on the middle of the picture that comes from all round
	OwnColour        bool    // the light in its own colour, as eyes see it before they are used to it
	Flat             bool    // a smooth plane without gloss, for measuring, in place of an arm
}

// across is the direction at deg from the middle normal, in the plane across
// the arm; y points to the top of the picture.
func across(deg float64) vector {
	sin, cos := math.Sincos(deg * degree)
	return vector{0, sin, cos}
}

// limb is the share of the arm's breadth that a picture's height shows, so that
// its edges turn away.
const limb = 0.78

// normalDeg is how far the skin's normal leans to the top of the picture, of
// which height runs from -1 at the foot to 1.
func (s Scene) normalDeg(height float64) float64 {
	if s.Flat {
		return 0
	}
	return math.Asin(max(-1, min(1, limb*height))) / degree
}

// exposure makes a perfect diffuser 1 where the arm is lit best, as a light meter
// held to the light does, so that skin there is as bright as its reading.
func (s Scene) exposure() float64 {
	best := 0.0
	for height := -1.0; height <= 1; height += 1. / 64 {
		normal := across(s.normalDeg(height))
		best = max(best, s.keyOn(normal)+s.FillShare*s.fillAt(normal))
	}
	return 1 / best
}

// keyOn is the key's light on a normal, as strong as makes a perfect diffuser in the
// middle 1 with the fill's help.
func (s Scene) keyOn(normal vector) float64 {
	light := across(s.LightDeg)
	return (1 - s.FillShare) / light.z * max(0, normal.dot(light))
}

// shadeOn is how far a normal is out of the key light, 0 to 1.
func (s Scene) shadeOn(normal vector) float64 {
	if s.FillShare == 1 {
		return 0
	}
	return 1 - max(0, normal.dot(across(s.LightDeg)))
}

// fillAt is the fill light on a normal against that on the middle of the
// picture: a dome brightest overhead, as in a room, (1 + n·up)/2 of it seen.
// Even light has no dome.
func (s Scene) fillAt(normal vector) float64 {
	if s.FillShare == 1 {
		return 1
	}
	return (1 + normal.z) / 2
}

// bounceOn is how much of what a normal sees is not the dome but the body beside the
// arm, as well lit as the arm where it is lit best: in the shade skin is lit by skin,
// and keeps its colour.
func (s Scene) bounceOn(normal vector) float64 {
	if s.FillShare == 1 {
		return 0
	}
	return (1 - normal.z) / 2
}
