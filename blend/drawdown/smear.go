package drawdown

import (
	"cmp"
	"math"
	"slices"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/leastsquares"
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
		scale := make([]float64, len(list[i].Layers)) // as they are
		g, err := s.at(list[i], scale)
		if err != nil {
			return nil, err
		}
		off[i] = g.DeltaE00 + perCoat*float64(len(scale)-1)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(off[a], off[b]) })
	return order[:shortlisted/3], nil
}

// sweep is in how many steps all coats are scaled together: of a tenth each, where the
// colours of one order of interference span some three.
const sweep = 7.0

// Guess finds the coats, each scaled on its own, and the mass that come nearest. The
// colour repeats within the range for thick coats, so all of it is looked at, all coats
// together, before they and the mass are refined by least squares.
func (s *Smear) Guess(p *palette.Pigment) (*Guess, error) {
	var best *Guess
	x := make([]float64, 1+len(p.Layers)) // logarithms of the mass and of each scale
	for k := 0.0; k <= sweep; k++ {
		scale := math.Log(thinnest) + k/sweep*math.Log(thickest/thinnest)
		g, err := s.at(p, slices.Repeat([]float64{scale}, len(p.Layers)))
		if err != nil {
			return nil, err
		}
		if best == nil || g.DeltaE00 < best.DeltaE00 {
			best, x[0] = g, math.Log(g.Mass)
			for i := range p.Layers {
				x[1+i] = scale
			}
		}
	}
	var coats []flake.Layer
	var on []*film.Prepared
	var made []float64 // at these scales
	off := &leastsquares.Residuals{Count: 3 * s.grounds(), At: func(x, r []float64) (err error) {
		if on == nil || !slices.Equal(made, x[1:]) {
			made = slices.Clone(x[1:])
			if coats, on, err = s.coated(p, made); err != nil {
				return err
			}
		}
		s.off(on, math.Exp(x[0]), r)
		return nil
	}}
	low, high := []float64{math.Log(leastSmear)}, []float64{math.Log(mostSmear)}
	for range p.Layers {
		low, high = append(low, math.Log(thinnest)), append(high, math.Log(thickest))
	}
	var w leastsquares.Workspace
	cost, err := w.Minimise(off, x, leastsquares.Settings{Low: low, High: high, Gain: 1e-3, Steps: 6})
	if err == nil && math.Sqrt(2*cost) < best.DeltaE00 {
		if _, err = off.Cost(x); err == nil {
			best = &Guess{Coats: coats, Lab: s.look(on[0], math.Exp(x[0])), DeltaE00: math.Sqrt(2 * cost), Mass: math.Exp(x[0])}
		}
	}
	for i, c := range best.Coats {
		scale := c.ThicknessNM / p.Layers[i].ThicknessNM
		best.AtEdge = best.AtEdge || scale <= thinnest*1.001 || scale >= thickest*0.999
		best.Coats[i].ThicknessNM = math.Round(10*c.ThicknessNM) / 10
	}
	return best, err
}

// grounds is on how many the film was read.
func (s *Smear) grounds() (n int) {
	for ; s != nil; s = s.also {
		n++
	}
	return n
}

// coated is a powder with each coat scaled by e to what scale says, ready for each ground.
func (s *Smear) coated(p *palette.Pigment, scale []float64) (coats []flake.Layer, on []*film.Prepared, err error) {
	f := p.Flake(film.DefaultIndex)
	f.Coats = nil
	for i, c := range p.Layers {
		f.Coats = append(f.Coats, flake.Layer{Material: c.Material, ThicknessNM: c.ThicknessNM * math.Exp(scale[i])})
	}
	flakes, err := powderOf(f)
	if err != nil {
		return nil, nil, err
	}
	for ; s != nil; s = s.also {
		on = append(on, s.reader.Prepare(flakes))
	}
	return f.Coats, on, nil
}

// off fills r with how m mg/cm² of a powder differs from what was read on each ground,
// in L*, a* and b*, as long as it is in ΔE00 and their mean square the sum of its squares.
func (s *Smear) off(on []*film.Prepared, m float64, r []float64) (squares float64) {
	share := 1 / math.Sqrt(float64(len(on)))
	for i, p := range on {
		lab := s.look(p, m)
		d := colour.DeltaE00(lab, s.read.Lab) * share
		squares += d * d
		if r != nil {
			by := d / math.Max(colour.DeltaE76(lab, s.read.Lab), 1e-12)
			r[3*i], r[3*i+1], r[3*i+2] = by*(lab.L-s.read.Lab.L), by*(lab.A-s.read.Lab.A), by*(lab.B-s.read.Lab.B)
		}
		s = s.also
	}
	return squares
}

// at finds the mass at which a coat comes nearest.
func (s *Smear) at(p *palette.Pigment, scale []float64) (*Guess, error) {
	coats, on, err := s.coated(p, scale)
	if err != nil {
		return nil, err
	}
	g := &Guess{Coats: coats, DeltaE00: math.Inf(1)}
	consider := func(m float64) {
		if de := math.Sqrt(s.off(on, m, nil)); de < g.DeltaE00 {
			g.DeltaE00, g.Mass = de, m
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
	g.Lab = s.look(on[0], g.Mass)
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
