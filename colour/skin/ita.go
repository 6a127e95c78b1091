package skin

import (
	"math"

	"tawny/colour"
)

// ITA returns the individual typology angle in degrees,
//
//	ITA° = atan((L* − 50) / b*) · 180/π
//
// of a D65/2 colour (Chardon, Cretois and Hourseau, Int. J. Cosmet. Sci.
// 13:191, 1991). atan2 keeps it defined where b* ≤ 0; see [ITAReliable].
func ITA(c colour.Lab) float64 { return math.Atan2(c.L-50, c.B) * 180 / math.Pi }

// ITAReliableB is the least b* at which ITA° is trusted, a convention of this
// tool: from there one unit of error in L* or b* moves the angle by at most
// 11.5°, less than the narrowest class (13°), and every subject of the NIST
// skin data lies above it (lowest b* 10.9).
const ITAReliableB = 5.0

// ITAReliable reports whether ITA° says something of the skin. With b* near or
// below 0 the angle swings to ±90° and past whatever the skin's depth.
func ITAReliable(c colour.Lab) bool { return c.B >= ITAReliableB }

// Class is a skin colour class by ITA°.
type Class int

// The six classes (Chardon et al. 1991; Del Bino et al., Pigment Cell Res.
// 19:606, 2006). An angle on a boundary belongs to the deeper class.
const (
	VeryLight    Class = iota // over 55°
	Light                     // 41 to 55°
	Intermediate              // 28 to 41°
	Tan                       // 10 to 28°
	Brown                     // −30 to 10°
	Dark                      // −30° and under
)

// Classes is how many classes there are.
const Classes = 6

var classNames = [Classes]string{"very light", "light", "intermediate", "tan", "brown", "dark"}

// classAbove is the angle, in degrees, each class but the last lies above.
var classAbove = [Classes - 1]float64{55, 41, 28, 10, -30}

// ClassOf returns the class of an angle in degrees.
func ClassOf(ita float64) Class {
	for c, above := range classAbove {
		if ita > above {
			return Class(c)
		}
	}
	return Dark
}

// String returns the class in words.
func (c Class) String() string {
	if c < 0 || int(c) >= Classes {
		return "unknown"
	}
	return classNames[c]
}

// MarshalText writes the class in words.
func (c Class) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// Subjects returns how many of the readings fitted to are of this class.
func (c Class) Subjects() int {
	if c < 0 || int(c) >= Classes {
		return 0
	}
	return standard().Readings[c]
}
