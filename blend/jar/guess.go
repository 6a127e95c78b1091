package jar

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/blend/drawdown"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// How well a coat's thickness is known, one sigma as a share of it: by a word
// alone, as one family's coats lie (a silver's from 40 to 60 nm: Pfaff and
// Reynders, Chem. Rev. 1999, from memory); by a screen's colour and by a smear
// that was read (guesses); and by how far, in ΔE00, the nearest coat stays
// from the colour wanted, a tenth of a coat being about 5 ΔE00.
const WordDoubt, ScreenDoubt, SmearDoubt, MisfitDoubt = 0.12, 0.07, 0.03, 0.02

// A guess this far off is not this coat, whatever the light and the camera; nor is
// what lies so far from it called by the same word.
const (
	FarOff   = 5.0 // ΔE00: hardly known
	Hopeless = 15.0
)

// What cards that powder is rubbed on reflect below their gloss (from memory).
const (
	BlackCard = 0.03
	WhiteCard = 0.80 // or plain paper
)

// Steps between coats of titania that are tried, nm: a smear's nearest are refined,
// a word's are not, and a pink is only some 6 nm wide.
const smearStep, wordStep = 10.0, 2.5

// usualSmear is how much powder a rubbing finger leaves, mg/cm² (guess).
const usualSmear = 0.6

// Powder is what is known of one before it is guessed.
type Powder struct {
	Label *Label             // of its jar; nil where nothing of it is given
	Alike []*palette.Pigment // what it is said to be like, or all that it may be
	Said  string             // which words say so, "" for none
	Size  [3]float64         // d10, d50, d90, µm; 0 for that of what it is like
	Smear *drawdown.Smear    // its colour; nil where words alone tell it
}

// Like chooses, of the coats the label allows, the one that looks as is said. Where
// none of those is listed by that word, the coat is sought that stays nearest, and
// off is how far, ΔE00. Its errors tell what is wanted.
func (w *Powder) Like() (like *palette.Pigment, off float64, err error) {
	list := w.Alike
	if l := w.Label; l != nil {
		built, err := palette.Builtin(film.DefaultIndex)
		if err != nil {
			return nil, 0, err
		}
		list = slices.DeleteFunc(slices.Clone(list), func(g *palette.Pigment) bool { return !l.Allows(g) })
		if !l.Flake() {
			for _, g := range append(list, built.Pigments...) {
				if l.Allows(g) {
					return g, 0, nil
				}
			}
			var names []string
			for _, in := range l.INCI {
				names = append(names, in.INCI)
			}
			return nil, 0, fmt.Errorf("%s: no mica, and no one ordinary pigment that this tool knows; draw it down and use tawny fit", strings.Join(names, ", "))
		}
		model := Middling(w.Alike)
		if len(list) == 0 { // for what does not show: its density, its oil absorption
			if at := slices.IndexFunc(built.Pigments, func(g *palette.Pigment) bool { return g.Substrate == 400 && l.Allows(g) }); at >= 0 {
				model = built.Pigments[at]
			}
		}
		l.black = slices.Contains(w.Alike[0].CI, blackIron) && w.Alike[0].Substrate == 0 && !slices.ContainsFunc(l.CI, func(n string) bool { return ofCI[n] == iron })
		step := smearStep
		if w.Smear == nil {
			step = wordStep
		}
		coats := l.Coats(Graded(model, w.Size), step)
		switch {
		case len(list) == 0 && len(coats) == 0:
			return nil, 0, fmt.Errorf("no coat is modelled of what the label names (%s); draw it down and use tawny fit", strings.Join(l.Unmodelled(), ", "))
		case len(list) == 0 && w.Smear == nil:
			return w.nearest(coats)
		case w.Smear != nil && (len(list) == 0 || w.Said == ""):
			list = append(list, coats...)
		}
	}
	if w.Smear == nil || len(list) == 1 {
		return Middling(list), 0, nil
	}
	// All at the same size: one colour says nothing of it.
	same := make([]*palette.Pigment, len(list))
	for i, g := range list {
		same[i] = Graded(g, w.Size)
	}
	n, err := w.Smear.Nearest(same)
	if err != nil {
		return nil, 0, err
	}
	return list[n], 0, nil
}

// nearest is the coat that looks most like what is said, as much of it on black
// card, or for a black on white.
func (w *Powder) nearest(coats []*palette.Pigment) (best *palette.Pigment, off float64, err error) {
	said := Graded(Middling(w.Alike), w.Size)
	if err := w.unknownCoat(coats[0]); err != nil {
		return nil, 0, err
	}
	card := BlackCard
	switch {
	case said.Substrate > 0:
	case slices.Contains(said.CI, blackIron):
		card = WhiteCard
	default:
		return nil, 0, fmt.Errorf("%s is an ordinary pigment, and the label's are flakes; the name of a shimmer is accepted", said.Name)
	}
	s, err := drawdown.NewSmear(colour.Reading{Viewing: colour.D65, Geometry: colour.At45})
	if err != nil {
		return nil, 0, err
	}
	if err := s.On(colour.Constant(card + s.Mirror())); err != nil {
		return nil, 0, err
	}
	wanted := s.LookOf(film.PowderOf(&w.Alike[0].Optics), usualSmear)
	if said.Substrate > 0 {
		if wanted, err = s.Look(said.Flake(film.DefaultIndex), usualSmear); err != nil {
			return nil, 0, err
		}
	}
	off = math.Inf(1)
	for _, g := range coats {
		if nextOrder(g, said) {
			continue
		}
		lab, err := s.Look(g.Flake(film.DefaultIndex), usualSmear)
		if err != nil {
			return nil, 0, err
		}
		if d := colour.DeltaE00(lab, wanted); d < off {
			best, off = g, d
		}
	}
	if off > Hopeless {
		return nil, 0, fmt.Errorf("no coat of the label's substances comes nearer the look of %s than ΔE00 %.0f; is a line of the label missing, or the colour another powder's?", said.Name, off)
	}
	return best, off, nil
}

// nextOrder reports whether a coat's titania is so much thicker than that of an
// interference colour that it shows the same colours again, paler (a second gold
// comes at 1.9 times the first: Pfaff and Reynders, Chem. Rev. 1999); no word means
// those.
func nextOrder(g, said *palette.Pigment) bool {
	return len(g.Layers) > 0 && len(said.Layers) == 1 && ofMaterial[said.Layers[0].Material] == titania && g.Layers[0].ThicknessNM > 1.5*said.Layers[0].ThicknessNM
}

// unknownCoat is the error of a bare flake whose label names a colourant.
func (w *Powder) unknownCoat(p *palette.Pigment) error {
	if len(p.Layers) > 0 || w.Label == nil || len(w.Label.Unmodelled()) == 0 {
		return nil
	}
	return fmt.Errorf("no coat is known of %s: %s Such as Titanium Dioxide, Iron Oxides or Chromium Oxide Greens is accepted, or leave the colour out", strings.Join(w.Label.Unmodelled(), ", "), w.Label.Meant())
}

// Coat fits the coats of a powder to the smear's colour.
func (w *Powder) Coat(p *palette.Pigment, like string) (*drawdown.Guess, error) {
	if err := w.unknownCoat(p); err != nil {
		return nil, err
	}
	if len(p.Layers) == 0 {
		return nil, fmt.Errorf("%s has no coat to fit to a colour; leave the colour out, or name another powder it is like", like)
	}
	best, err := w.Smear.Guess(p)
	switch {
	case err != nil:
		return nil, err
	case best.DeltaE00 > Hopeless && w.Label != nil:
		return nil, fmt.Errorf("no coat of the label's substances comes nearer that colour than ΔE00 %.0f; is a line of the label missing, or the colour another powder's?", best.DeltaE00)
	case best.DeltaE00 > Hopeless:
		return nil, fmt.Errorf("no coat like that of %s comes nearer the smear's colour than ΔE00 %.0f; check what it is like, what it was smeared on and the colour", like, best.DeltaE00)
	}
	p.Layers = best.Coats
	return best, nil
}

// Graded is a powder in another size; a size of 0 leaves it as it is.
func Graded(g *palette.Pigment, size [3]float64) *palette.Pigment {
	p := *g
	if size[1] == 0 {
		return &p
	}
	p.Substrate = SubstrateFor(size, p.Substrate, g)
	p.D10, p.D50, p.D90 = size[0], size[1], size[2]
	return &p
}

// SubstrateFor is how thick the mica of a flake of another size is, nm: coarse
// grades are cut from thicker mica, as in the built-in drawer. A size of 0, or
// that of the powder it is like, keeps own.
func SubstrateFor(size [3]float64, own float64, like *palette.Pigment) float64 {
	switch {
	case own == 0 || size[1] == 0 || size == [3]float64{like.D10, like.D50, like.D90}:
		return own
	case size[1] < 12:
		return 300
	case size[1] >= 40:
		return 550
	}
	return 400
}

// Middling returns the powder of the middle grade, the first of several; of
// ordinary pigments the first, since their grades go with their colours.
func Middling(list []*palette.Pigment) *palette.Pigment {
	if list[0].Substrate == 0 {
		return list[0]
	}
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b *palette.Pigment) int { return cmp.Compare(a.D50, b.D50) })
	middle := sorted[(len(sorted)-1)/2].D50
	return list[slices.IndexFunc(list, func(g *palette.Pigment) bool { return g.D50 == middle })]
}
