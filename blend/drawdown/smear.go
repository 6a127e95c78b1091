package drawdown

import (
	"cmp"
	"math"
	"slices"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

// Bounds of the search, about what one family spans: a yellow gold's rutile
// lies at 60 to 80 nm, a silver's at 40 to 60 (Pfaff and Reynders, Chem. Rev.
// 1999, from memory).
const (
	thinnest, thickest    = 0.7, 1.4 // of the like coat
	leastSmear, mostSmear = 0.1, 4.0 // mg/cm² of powder under a rubbing finger (guess)
	smearTilt             = 15.0     // degrees, as for a coverage that is rubbed in
)

// perCoat is how much nearer, ΔE00, a powder with one coat more must come to be
// preferred: with more coats any colour can be met.
const perCoat = 0.5

// Smear is a powder rubbed on a card, and the colour read of it. It is compared in
// the reading's geometry.
type Smear struct {
	read   colour.Reading
	reader *film.Reader
	under  film.Under
	also   *Smear // the same film on another ground
}

// And takes the same film's colour on another card too: a coat has to come
// near both at one mass.
func (s *Smear) And(other *Smear) { s.also = other }

// Guess is the coat that comes nearest a smear's colour.
type Guess struct {
	Coats    []flake.Layer
	Lab      colour.Lab
	DeltaE00 float64 // of two grounds the root mean square
	Mass     float64 // mg/cm² of powder the smear seems to hold
	AtEdge   bool    // as thin or as thick as is tried
}

// NewSmear returns a smear of that colour; On says what it lies on.
func NewSmear(read colour.Reading) (*Smear, error) {
	reader, err := film.Lay{Index: film.DefaultIndex, TiltDeg: smearTilt}.Reader(read.Geometry.Assumed())
	return &Smear{read: read, reader: reader}, err
}

// Mirror is the surface's own reflection in such a reading.
func (s *Smear) Mirror() float64 { return s.reader.Gloss(&s.under) }

// On sets the card, its reflectance read as the smear was.
func (s *Smear) On(card colour.Spectrum) (err error) {
	s.under, err = s.reader.Card(&card)
	return err
}

// powderOf is a flake as a film takes it.
func powderOf(f flake.Flake) (*film.Powder, error) {
	t, err := f.Table()
	return &film.Powder{FaceArea: t.FaceArea, R: t.R, T: t.T}, err
}

// Nearest returns which powder of a family comes nearest the smear's colour
// with its coat thickened or thinned.
func (s *Smear) Nearest(list []*palette.Pigment) (best int, err error) {
	order, err := s.shortlist(list)
	if err != nil {
		return 0, err
	}
	least := math.Inf(1)
	for _, i := range order {
		g := list[i]
		found, err := s.Guess(g)
		if err != nil {
			return 0, err
		}
		if off := found.DeltaE00 + perCoat*float64(len(g.Layers)-1); off < least-1e-3 {
			best, least = i, off
		}
	}
	return best, nil
}

// shortlisted is how many powders have their coats thickened and thinned: more
// than a family has, fewer than the thicknesses there are.
const shortlisted = 12

// shortlist are the coated powders of a list, of a long one those that are
// nearest as they are.
func (s *Smear) shortlist(list []*palette.Pigment) (order []int, err error) {
	off := make([]float64, len(list))
	for i, g := range list {
		if len(g.Layers) > 0 {
			order = append(order, i)
		}
	}
	if len(order) <= shortlisted {
		return order, nil
	}
	for _, i := range order {
		scale := make([]float64, len(list[i].Layers))
		g, err := s.at(list[i], fill(scale, 1))
		if err != nil {
			return nil, err
		}
		off[i] = g.DeltaE00 + perCoat*float64(len(scale)-1)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(off[a], off[b]) })
	return order[:shortlisted/3], nil
}

// Guess finds the coats, each scaled on its own, and the mass that come
// nearest: every scale of all coats together first, then each coat in turn and
// one against another.
func (s *Smear) Guess(p *palette.Pigment) (*Guess, error) {
	scale := make([]float64, len(p.Layers))
	for i := range scale {
		scale[i] = 1
	}
	var best *Guess
	try := func(scale []float64) error {
		g, err := s.at(p, scale)
		if err == nil && (best == nil || g.DeltaE00 < best.DeltaE00) {
			best = g
		}
		return err
	}
	// The colour repeats within the range for thick coats, so all of it is
	// looked at before anything is refined.
	together := 1.0
	for k := 0.0; k <= 14; k++ {
		x := thinnest * math.Pow(thickest/thinnest, k/14)
		before := best
		if err := try(fill(scale, x)); err != nil {
			return nil, err
		}
		if best != before {
			together = x
		}
	}
	scale = fill(scale, together)
	// Along each coat, and along one thicker as the next gets thinner: colours
	// alike lie in a valley that way.
	var ways [][]float64
	for i := range scale {
		way := fill(scale, 0)
		way[i] = 1
		ways = append(ways, way)
		for k := range i {
			across := fill(scale, 0)
			across[k], across[i] = 1, -1
			ways = append(ways, across)
		}
	}
	for width := 0.08; width > 0.002; width /= 2 {
		for _, way := range ways {
			start := best
			for _, sign := range [2]float64{1, -1} {
				if best != start {
					break // where it came from is known
				}
				for range 8 {
					y := append([]float64(nil), scale...)
					for i := range y {
						y[i] = math.Max(thinnest, math.Min(thickest, y[i]*math.Exp(sign*width*way[i])))
					}
					before := best
					if err := try(y); err != nil {
						return nil, err
					}
					if best == before {
						break
					}
					scale = y
				}
			}
		}
	}
	for _, x := range scale {
		best.AtEdge = best.AtEdge || x <= thinnest*1.001 || x >= thickest*0.999
	}
	for i := range best.Coats {
		best.Coats[i].ThicknessNM = math.Round(10*best.Coats[i].ThicknessNM) / 10
	}
	return best, nil
}

func fill(like []float64, x float64) []float64 {
	list := make([]float64, len(like))
	for i := range list {
		list[i] = x
	}
	return list
}

// at finds the mass at which a coat comes nearest.
func (s *Smear) at(p *palette.Pigment, scale []float64) (*Guess, error) {
	f := p.Flake(film.DefaultIndex)
	f.Coats = nil
	for i, c := range p.Layers {
		f.Coats = append(f.Coats, flake.Layer{Material: c.Material, ThicknessNM: c.ThicknessNM * scale[i]})
	}
	flakes, err := powderOf(f)
	if err != nil {
		return nil, err
	}
	powder := s.reader.Prepare(flakes)
	var beside *film.Prepared
	if s.also != nil {
		beside = s.also.reader.Prepare(flakes)
	}
	g := &Guess{Coats: f.Coats, DeltaE00: math.Inf(1)}
	consider := func(m float64) {
		lab := s.look(powder, m)
		de := colour.DeltaE00(lab, s.read.Lab)
		if s.also != nil {
			de = math.Hypot(de, colour.DeltaE00(s.also.look(beside, m), s.also.read.Lab)) / math.Sqrt2
		}
		if de < g.DeltaE00 {
			g.Lab, g.DeltaE00, g.Mass = lab, de, m
		}
	}
	const steps = 24
	for k := 0.0; k <= steps; k++ {
		consider(leastSmear * math.Pow(mostSmear/leastSmear, k/steps))
	}
	for by := 1.08; by > 1.005; by = math.Sqrt(by) {
		m := g.Mass
		consider(math.Min(mostSmear, m*by))
		consider(math.Max(leastSmear, m/by))
	}
	return g, nil
}

// Look is the colour of m mg/cm² of a flake on the card.
func (s *Smear) Look(f flake.Flake, m float64) (colour.Lab, error) {
	p, err := powderOf(f)
	if err != nil {
		return colour.Lab{}, err
	}
	return s.LookOf(p, m), nil
}

// LookOf is Look of a powder that is no flake.
func (s *Smear) LookOf(p *film.Powder, m float64) colour.Lab { return s.look(s.reader.Prepare(p), m) }

// look is the colour of m mg/cm² of the powder on the card.
func (s *Smear) look(p *film.Prepared, m float64) colour.Lab {
	var r colour.Spectrum
	s.reader.Read(&r, nil, &s.under, []*film.Prepared{p}, []float64{m})
	return s.read.Viewing.Lab(&r)
}
