package search

import "tawny/colour"

// BothLights returns the goals of a shade that should hold under two lights
// at once, counted alike: its colour under the first and under the other, each
// seen by eyes used to that light. The colours of a real target follow from
// its reflectance (BothLightsOf); a target that is only a colour has none
// under another light until one is estimated.
func BothLights(first, second colour.Lab, light, other *colour.Viewing) []Goal {
	return []Goal{{Lab: first, Viewing: light, Weight: 1}, {Lab: second, Viewing: other, Weight: 1}}
}

// BothLightsOf is BothLights for a target whose reflectance is known.
func BothLightsOf(target *colour.Spectrum, light, other *colour.Viewing) []Goal {
	return BothLights(light.Lab(target), other.Lab(target), light, other)
}
