package film

import (
	"math"
	"slices"
)

// Coverage is a way of putting the product on: how much of it lies on the skin
// and how flat that lays the flakes.
type Coverage struct {
	Name     string  // one word, for commands and files
	Plain    string  // what the wearer does
	MgPerCM2 float64 // of finished product, wet, mg per cm² of skin
	SigmaDeg float64 // tilt of the flakes, degrees
}

// Coverages lists the named coverages from least to most. The amounts are
// anchored in what people were measured to apply. The tilts are a convention
// of this tool, not a measurement: brushing lays flakes down and rubbing
// stirs them up, and both figures can be changed wherever they are used.
var Coverages = []Coverage{
	// As thin as people were seen to spread lotion on Danish beaches: about 0.5 mg/cm²
	// in 1992, 0.6 in 2016 (Heerfordt et al. 2017).
	{"sheer", "rubbed in until it disappears", 0.5, 15},
	// What people apply when they take some care: about 1 mg/cm² (Stenberg & Larkö,
	// Arch. Dermatol. 121:1400, 1985).
	{"smoothed", "smoothed on by hand", 1.0, 10},
	// The laboratory amount, 2 mg/cm² (ISO 24444).
	{"full", "laid on with a brush or sponge, not rubbed", 2.0, 6},
}

// LobeHeldTo says what the lobe of flakes that lie flat was held to (TestMeasuredLobe).
const LobeHeldTo = "lobes of three pearl and gold paints, through fits published of them (from memory): by the light at 45° their flakes tilt by 6.5 to 6.7°, by that at 25° by 5.2 to 6.0°; laid on full they are taken to tilt by 6°"

// TiltFor returns the flake tilt, degrees, that goes with an application in
// mg/cm²: the named coverages' own, between them linear in the logarithm of
// the amount, and beyond them the nearest's. A convention of this tool: the
// harder a shimmer is rubbed in, the less its flakes lie flat.
func TiltFor(apply float64) float64 {
	list := Coverages
	if apply <= list[0].MgPerCM2 {
		return list[0].SigmaDeg
	}
	for i := 1; i < len(list); i++ {
		a, b := list[i-1], list[i]
		if apply <= b.MgPerCM2 {
			t := math.Log(apply/a.MgPerCM2) / math.Log(b.MgPerCM2/a.MgPerCM2)
			return a.SigmaDeg + t*(b.SigmaDeg-a.SigmaDeg)
		}
	}
	return list[len(list)-1].SigmaDeg
}

// Beside returns the named coverages with one of so many mg/cm² and degrees of
// tilt among them, by its amount, and its place.
func Beside(apply, tilt float64) (list []Coverage, at int) {
	at = slices.IndexFunc(Coverages, func(c Coverage) bool { return apply <= c.MgPerCM2 })
	switch {
	case at < 0:
		at = len(Coverages)
	case Coverages[at].MgPerCM2 == apply && Coverages[at].SigmaDeg == tilt:
		return Coverages, at
	}
	return slices.Insert(slices.Clone(Coverages), at, Coverage{Name: "as matched", MgPerCM2: apply, SigmaDeg: tilt}), at
}
