package job

import (
	"fmt"
	"slices"
	"strings"

	"tawny/blend/book"
	"tawny/blend/doubt"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/parallel"
	"tawny/colour/skin"
)

// What is taken where nothing better is known, one standard error each.
const (
	// A hand-held instrument put back on the same skin: ΔE00 0.3 to 0.5
	// (common practice; pressure moves blood, so skin repeats worse than card).
	DefaultRepeat = 0.4
	// A colour picked from a screen or a plain picture (guess: no card, no
	// known light).
	PictureRepeat = 3.0
	// A skin judged by eye by a word: the presets lie ΔE00 4 to 10 apart, so one
	// chosen right is off by up to half of that, besides the person's own hue (guess).
	EyeRepeat = 4.0
)

// doubts are a setting's, kept from one blend to the next.
type doubts struct {
	doubt.Doubts
	// se is the standard error of the skin reading's L*, a*, b* from repeats,
	// or nil.
	se *colour.Lab
	// compared are the lots whose strength against the drawer's data the book has.
	compared map[string]bool
}

// lotKey names a lot of a powder.
func lotKey(powder, lot string) string { return fold(powder) + "\x00" + fold(lot) }

// knows notes the lots of the book that were compared with the drawer's data.
func (d *doubts) knows(by map[string][]book.LotStock) {
	d.compared = map[string]bool{}
	for _, list := range by {
		for _, g := range list {
			if g.Strength != nil {
				d.compared[lotKey(g.PowderName, g.Lot)] = true
			}
		}
	}
}

// uncertainty carries what is doubtful through the prediction of a blend.
func (s *setting) uncertainty(worn film.Worn) (*doubt.Spread, error) {
	if s.quick {
		return nil, nil
	}
	if err := s.openDoubts(worn.Parts); err != nil {
		return nil, err
	}
	u, err := doubt.Uncertainty(worn, s.doubts.Doubts)
	if u != nil {
		u.StandIn = len(s.doubts.Skin) == 0
	}
	return u, input(err)
}

// openDoubts settles what is doubted of a blend, once for each setting and powder;
// after it the blend's uncertainty only reads.
func (s *setting) openDoubts(parts []film.Part) error {
	if s.quick {
		return nil
	}
	if s.doubts.Taken == nil {
		if err := s.openUsual(); err != nil {
			return err
		}
	}
	var powders []*palette.Pigment
	for _, p := range parts {
		if _, have := s.doubts.Powders[p.Pigment]; !have && !slices.Contains(powders, p.Pigment) {
			powders = append(powders, p.Pigment)
		}
	}
	found, words, errs := make([]doubt.Powder, len(powders)), make([]string, len(powders)), make([]error, len(powders))
	parallel.For(s.in.lent().Workers, len(powders), func(i int) { found[i], words[i], errs[i] = s.doubtPowder(powders[i]) })
	for i, g := range powders {
		if errs[i] != nil {
			return errs[i]
		}
		s.doubts.Powders[g], s.doubts.Taken[g.Name] = found[i], words[i]
	}
	return nil
}

// openUsual settles what does not depend on the blend.
func (s *setting) openUsual() error {
	d := &s.doubts
	d.Doubts = doubt.Usual(s.worn(nil, s.apply, s.tilt))
	d.Powders, d.Taken = map[*palette.Pigment]doubt.Powder{}, map[string]string{}
	if s.in.ApplySpread > 0 {
		d.Apply = s.in.ApplySpread / 100
	}
	d.Taken[doubt.FromApplication] = fmt.Sprintf("the amount put on varies by %.3g %%", 100*d.Apply)
	d.Taken[doubt.FromSurface] = fmt.Sprintf("the film's surface may share any part up to %g of the flakes' tilt", film.MostSurfaceShare)
	d.Taken[doubt.FromHaze] = fmt.Sprintf("skin throws %g ± %g of its surface's reflection sideways", skin.HazeShare, d.Haze)
	d.Taken[doubt.FromTilt] = fmt.Sprintf("the flakes' tilt is known to %.2g°", d.Tilt)
	d.Weigh = doubt.Weighing(s.balance(), s.batchGrams())
	d.Taken[doubt.FromWeighing] = fmt.Sprintf("a balance step of %g g in %g g", s.balance(), s.batchGrams())
	return s.doubtSkin()
}

// doubtSkin turns the reading's repeatability into changes of the skin's
// reflectance, one for each direction of L*a*b* that varies on its own.
func (s *setting) doubtSkin() error {
	d, k := &s.doubts, &s.skin
	_, ofClient := clientOf(s.in.Skin)
	var moves []colour.Lab
	switch {
	case s.in.Repeat == 0 && d.se != nil:
		moves = []colour.Lab{{L: d.se.L}, {A: d.se.A}, {B: d.se.B}}
		d.Taken[doubt.FromReading] = "as the readings averaged lie apart"
	case s.in.Repeat == 0 && k.Preset && !ofClient:
		return nil // a stand-in is no one's skin; there is no reading to doubt
	default:
		de, why := s.in.Repeat, "as given"
		switch {
		case de > 0:
		case k.Preset:
			de, why = EyeRepeat, "assumed for a skin judged by eye"
		case strings.HasPrefix(strings.TrimSpace(s.in.Skin), "#"):
			de, why = PictureRepeat, "assumed for a colour from a picture"
		default:
			de, why = DefaultRepeat, "assumed for one reading"
		}
		d.Taken[doubt.FromReading] = fmt.Sprintf("the skin's reading repeats to ΔE00 %.2g, %s", de, why)
		moves = doubt.Alike(k.Reading.Lab, de)
	}
	var err error
	if d.Skin, err = doubt.OfSkin(k, moves); err != nil {
		return inputf("the skin's reading off by its own repeatability: %w", err)
	}
	return nil
}

// doubtPowder returns a powder's doubt, and what was assumed of it.
func (s *setting) doubtPowder(g *palette.Pigment) (p doubt.Powder, taken string, err error) {
	note, err := s.in.lent().fitNote(s.in.Drawer, g)
	if err != nil {
		return p, "", err
	}
	if note != nil && s.doubts.compared[lotKey(g.Name, g.Lot)] {
		same := *note
		same.Lot = g.Lot
		note = &same
	}
	if p, err = doubt.OfPowder(g, s.optics.Index, note); err != nil {
		return p, "", err
	}
	switch {
	case note != nil && doubt.OtherLot(g, note):
		taken = fmt.Sprintf("%s, but of lot %s; lot %s was not compared with it, so strength to %.2g %%", g.Source, note.Lot, g.Lot, 100*p.Strength)
	case note != nil:
		taken = fmt.Sprintf("%s: its drawdowns lie ΔE00 %.2f from the fit, strength to %.2g %%", g.Source, note.Residual, 100*note.StrengthError)
	case g.Spectrum != "" && p.Residual == 0:
		taken = fmt.Sprintf("%s: what it absorbs and what it scatters each assumed to %.0f %%, how finely it is rubbed in to %.0f %%", g.Source, 100*doubt.ModelledGrain, 100*p.Strength)
	case p.Residual > 0:
		taken = fmt.Sprintf("%s, but its file does not say how well; assumed ΔE00 %.2g, strength to %.2g %%", g.Source, p.Residual, 100*p.Strength)
	default:
		taken = fmt.Sprintf("%s: coat, its constants and strength assumed (strength to %.2g %%)", g.Source, 100*p.Strength)
	}
	return p, taken, nil
}

// uncertaintyWords says how far the real thing may lie from its prediction,
// and the three largest reasons.
func uncertaintyWords(u *doubt.Spread) string {
	why := listed(u.Causes[:min(3, len(u.Causes))], ", ", func(c doubt.Cause) string {
		return fmt.Sprintf("%s %.1f", either(c.Name == doubt.FromReading, "skin reading", c.Name), c.DeltaE95)
	})
	return fmt.Sprintf("95 in 100 wearings within ΔE00 %.1f of this", u.DeltaE95) + around(" (", why, ")") +
		when(u.StandIn, ", on just this skin: how far a person's own lies from a stand-in is not in it")
}
