package batch

import (
	"fmt"

	"tawny/blend/palette"
)

// Oil absorption assumed where a powder's is not given, g per 100 g (common
// practice: pearl mica 60–90, iron oxides 15–40).
const (
	assumedFlakeOil = 75
	assumedOxideOil = 30
)

// slurryFactor is how much more oil than the oil absorption end point, where
// a paste just holds together (ISO 787-5), makes a slurry that flows smoothly
// (common practice: half as much again).
const slurryFactor = 1.5

// oilAbsorption is the powder's, g per 100 g, and whether it was assumed.
func oilAbsorption(p *palette.Pigment) (float64, bool) {
	return orAssumed(p, p.OilAbsorption, assumedFlakeOil, assumedOxideOil)
}

// orAssumed is what is given of a powder, or what is assumed of its like.
func orAssumed(p *palette.Pigment, given, flake, oxide float64) (v float64, assumed bool) {
	switch {
	case given > 0:
		return given, false
	case isFlake(p):
		return flake, true
	}
	return oxide, true
}

// isFlake reports whether the powder is a platelet pigment.
func isFlake(p *palette.Pigment) bool { return p.Optics.Flake || len(p.Layers) > 0 || p.Substrate > 0 }

// wetted reports whether the powders go into the base as a slurry.
func (k Kind) wetted() bool { return k == Oil || k.Sprayed() }

// addWetting raises the base's wetting oil where the powders need more than
// it holds; the filler gives way to that too.
func (req *Request) addWetting(b *Batch, lines []Weighing) {
	if !req.Base.Kind.wetted() {
		return
	}
	need, have, at := 0.0, 0.0, -1
	for _, p := range req.Parts {
		oa, assumed := oilAbsorption(p.Pigment)
		if assumed {
			b.Notes = append(b.Notes, fmt.Sprintf("The oil absorption of %s is not given; %.0f g per 100 g is assumed.", p.Pigment.Name, oa))
		}
		need += p.Percent * oa / 100 * slurryFactor
	}
	for i, l := range lines {
		if l.Phase == PhaseWetting {
			have += l.Percent
			if at < 0 {
				at = i
			}
		}
	}
	if at < 0 || need <= have || lines[at].Filler {
		return
	}
	b.Notes = append(b.Notes, fmt.Sprintf("The powders need %.3g %% to be wetted in for a smooth slurry; %s is raised by %.3g %%.", need, lines[at].Name, need-have))
	lines[at].Percent += need - have
}
