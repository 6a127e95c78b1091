package batch

import "fmt"

// slurryFactor is how much more oil than the oil absorption end point, where
// a paste just holds together (ISO 787-5), makes a slurry that flows smoothly
// (common practice: half as much again).
const slurryFactor = 1.5

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
