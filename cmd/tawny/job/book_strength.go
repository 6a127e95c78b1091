package job

import (
	"fmt"
	"slices"
	"strings"

	"tawny/blend/book"
	"tawny/blend/palette"
)

// todaysDrawer puts a copy of the drawer in place in which each powder the
// book has lots of is one lot: of its strength, and no more of it than is
// left. Powders with nothing left, or retired, are taken out and returned.
func (v *BookMadeAgain) todaysDrawer(s *setting, old *standing, lots map[string]string) (gone map[string]bool, err error) {
	by := bagsOf(old.stock)
	s.doubts.knows(by)
	then := map[string]book.Weight{}
	for _, p := range old.Powders {
		then[fold(p.Name)] = p
	}
	scale := 1.0
	if old.Batch.PlannedG > 0 {
		scale = s.batchGrams() / old.Batch.PlannedG
	}
	gone, v.bags = map[string]bool{}, map[string]string{}
	drawer := &palette.Drawer{Title: s.drawer.Title}
	lines := map[string]AgainLine{}
	for _, g := range s.drawer.Pigments {
		name := fold(g.Name)
		was := then[name]
		line := AgainLine{Name: g.Name, Lot: was.Lot, StrengthThen: 1, StrengthNow: 1, LotNow: g.Lot}
		if l := old.lotOf(was); l != nil {
			line.StrengthThen = strengthIn(g, l.Lot, l.Strength)
		}
		switch {
		case old.Retired[was.Name]:
			line.Gone = true
		case by[name] != nil:
			bag, ok := choose(ofLot(by[name], lots[name]), was.PlannedG*scale, s.in.lent().today())
			if !ok && lots[name] != "" {
				return nil, inputf("nothing of a lot %s of %s is to be had; of it there is %s", lots[name], g.Name, orElse(lotNumbers(by[name]), "none"))
			}
			line.Gone = !ok
			if ok {
				v.bags[name] = bag.Lot
				if bag.Strength == nil && was.Lot != "" && !slices.ContainsFunc([]string{was.Lot, g.Lot}, func(of string) bool { return strings.EqualFold(of, bag.Lot) }) {
					v.unknown = append(v.unknown, fmt.Sprintf("lot %s of %s", bag.Lot, g.Name))
				}
				line.LotNow, line.StrengthNow = bag.Lot, strengthIn(g, bag.Lot, bag.Strength)
				g = fromLot(g, &bag)
				g.StockG = bag.LeftG
				v.Notes = append(v.Notes, v.shifted(bag, was)...)
			}
		case !s.in.InStock:
			g = withLot(g, g.Lot)
			g.StockG = plenty
		}
		if line.Gone {
			line.LotNow = ""
			gone[name] = true
		} else {
			drawer.Pigments = append(drawer.Pigments, g)
		}
		lines[name] = line
	}
	for _, p := range old.Powders {
		line, inDrawer := lines[fold(p.Name)]
		if !inDrawer {
			line = AgainLine{Name: p.Name, Lot: p.Lot, StrengthThen: 1, StrengthNow: 1, Gone: true}
			gone[fold(p.Name)] = true
		}
		v.Then = append(v.Then, line)
	}
	if len(drawer.Pigments) == 0 {
		return nil, inputf("nothing is left of any powder in the drawer; 'tawny book stock' shows the lots")
	}
	s.drawer = drawer
	return gone, nil
}

// plenty is the stock of a powder that the book keeps no lots of, in g.
const plenty = 1e9

// shifted warns of a lot whose own shade lies off the powder's data, for a
// powder that was used.
func (v *BookMadeAgain) shifted(g book.LotStock, was book.Weight) (notes []string) {
	if was.Name == "" {
		return nil
	}
	if d := g.ShadeShiftDE00; d != nil && *d > 0 {
		notes = append(notes, fmt.Sprintf("Lot %s of %s is ΔE00 %.2g off the drawer's data beyond its strength, which the match does not know.", g.Lot, g.PowderName, *d))
	}
	return notes
}

// fromLot is a drawer's powder as it is in a lot.
func fromLot(g *palette.Pigment, l *book.LotStock) *palette.Pigment {
	return withLot(g, l.Lot).AtStrength(strengthIn(g, l.Lot, l.Strength))
}

// strengthIn is a lot's strength against the drawer's data. The data of a
// drawer that names this lot are the lot's own.
func strengthIn(g *palette.Pigment, lot string, strength *float64) float64 {
	if strength == nil || *strength <= 0 || strings.EqualFold(g.Lot, lot) {
		return 1
	}
	return *strength
}
