package skin

import (
	"fmt"

	"tawny/colour"
)

// peopleLine is the middle of the people the model was fitted to (321 readings,
// each class weighted alike): a* and b* at five lightnesses, straight between.
// The lightest read L* 73.6, the deepest 28.9; D65/2, gloss included.
var peopleLine = [...]colour.Lab{
	{L: 30, A: 6.8, B: 7.2}, {L: 40, A: 11.2, B: 15.9}, {L: 50, A: 12.1, B: 19.5}, {L: 60, A: 10.0, B: 18.1}, {L: 74, A: 6.7, B: 11.9},
}

// furthest is how far from that line the furthest of them lies, ΔE00. Beyond it
// a spectrum is extrapolated.
const furthest = 6.2

// fromPeople returns the colour of the middle of measured skin at the lightness
// of c, and how far c lies from it, ΔE00.
func fromPeople(c colour.Lab) (middle colour.Lab, distance float64) {
	i, j, t := colour.Place(c.L, len(peopleLine), func(k int) float64 { return peopleLine[k].L })
	middle = peopleLine[i].Towards(peopleLine[j], t)
	return middle, colour.DeltaE00(middle, c)
}

// farWords says where a reading beyond everyone lies, or "" where people are.
func farWords(c colour.Lab) string {
	middle, d := fromPeople(c)
	if d <= furthest {
		return ""
	}
	turn := colour.TurnWords(middle, c)
	if turn == "" {
		turn = "other"
	}
	s := fmt.Sprintf("no one measured is like this: it is %s than people's skin, ΔE00 %.1f beyond the furthest of %d readings", turn, d-furthest, standard().total())
	if d > 2*furthest {
		s += "; check the reading"
	}
	return s
}

func (m *Model) total() (n int) {
	for _, k := range m.Readings {
		n += k
	}
	return n
}
