package job

import (
	"fmt"
	"math"
	"strings"

	"tawny/blend/film"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/colour/skin"
	"tawny/colour/table"
)

// TargetView is a target as understood.
type TargetView struct {
	Text       string          `json:"text"`
	Words      string          `json:"words"` // what a card calls it
	ColourView                 // under the light matched in
	Shift      colour.LChShift `json:"shift"`    // from the bare skin
	Geometry   colour.Geometry `json:"geometry"` // it was read in, "" where nobody said; of a shift, the skin's
	// SecondLab is its colour under the second light: from its own spectrum
	// where it has one, else from that of a skin of its colour.
	SecondLab colour.Lab `json:"secondLab"`
	Note      string     `json:"note,omitempty"`
}

// colourWords is a colour as a card names it: the notation of the command line
// taken off, its numbers kept.
func colourWords(text string) string {
	text = strings.TrimSpace(text)
	lower := strings.ToLower(text)
	switch {
	case strings.Contains(text, ";") && strings.HasPrefix(lower, "l"):
		return "the average of repeats"
	case strings.HasPrefix(text, "#"):
		colour, _, _ := strings.Cut(text, "/")
		return "colour " + colour
	case strings.HasPrefix(lower, "lab:"), strings.HasPrefix(lower, "lch:"):
		numbers, _, _ := strings.Cut(text[4:], "@")
		numbers, _, _ = strings.Cut(numbers, "/")
		n := strings.Split(numbers, ",")
		if len(n) != 3 {
			return text
		}
		names := [3]string{"L*", "a*", "b*"}
		if lower[:3] == "lch" {
			names = [3]string{"L*", "C*", "h"}
		}
		for i := range n {
			n[i] = names[i] + "\u00a0" + strings.TrimSpace(n[i])
		}
		return strings.Join(n, ", ")
	}
	return text
}

// target is a target ready to match.
type target struct {
	view   TargetView
	bands  *search.BandGoal // set where the target is a spectrum
	shift  *colour.LChShift // set where it was given relative to the skin
	family string           // set where it was given in trade words
	gleam  string           // its gleam where none was asked for: soft shades gleam softly
	beside *BlendView       // that it is to gleam like, within so many times; nil for none
	within float64
}

// relative reads "skin:dL,dC,dh".
func relative(text string) (d colour.LChShift, ok bool, err error) {
	rest, ok := strings.CutPrefix(strings.ToLower(strings.TrimSpace(text)), "skin:")
	if !ok {
		return d, false, nil
	}
	fields := strings.Split(rest, ",")
	if len(fields) != 3 {
		return d, true, inputf("target %q has %d numbers; skin:dL,dC,dh is accepted, such as skin:3,5,8", text, len(fields))
	}
	for i, f := range fields {
		x, err := table.Finite(f)
		most := [3]float64{100, 100, 180}[i]
		if err != nil || !(math.Abs(x) <= most) {
			return d, true, inputf("target %q: %s is %q; a number from %g to %g is accepted", text, [3]string{"dL", "dC", "dh"}[i], strings.TrimSpace(f), -most, most)
		}
		*[3]*float64{&d.DL, &d.DC, &d.DH}[i] = x
	}
	return d, true, nil
}

// target works out what to match, under the setting's light.
func (s *setting) target(text string) (t *target, err error) {
	defer func() { err = of("target", err) }()
	if strings.TrimSpace(text) == "" {
		return nil, inputf("no target; give {target} as %s, skin:dL,dC,dh (such as skin:3,5,8), lab:L,a,b, #rrggbb or a reflectance file", shadeList())
	}
	t = &target{view: TargetView{Text: text, Words: colourWords(text)}}
	d, isRelative, err := relative(text)
	if err != nil {
		return nil, err
	}
	var spectrum *colour.Spectrum
	family, share, inTrade := shadeWord(text)
	switch {
	case inTrade && s.in.shadeThen != nil:
		t.view.Lab, t.view.Geometry, t.family = s.in.shadeThen.Lab, s.in.shadeThen.Geometry, family
	case inTrade:
		if t.view.Lab, t.view.Note, err = s.shade(family, share); err != nil {
			return nil, err
		}
		t.view.Geometry, t.family = s.skin.Reading.Geometry, family
		if share == softShade {
			t.gleam = film.GleamWords[0].Name
		}
	case colour.InWords(text) && !s.in.lent().isFile(text):
		return nil, inputf("no shade is called %q; %s (tawny compare makes a warm and a cool one), skin:dL,dC,dh (such as skin:3,5,8), lab:L,a,b, #rrggbb or a reflectance file is accepted", text, shadeList())
	case isRelative:
		t.shift = &d
		t.view.Geometry = s.skin.Reading.Geometry
		bare := s.viewing.Lab(&s.skin.Reflectance)
		c := bare.LCh()
		c.L, c.C, c.H = c.L+d.DL, c.C+d.DC, c.H+d.DH
		if c.L < 0 || c.L > 100 || c.C < 0 {
			return nil, inputf("target %q asks for L* %.1f, C* %.1f on this skin (L* %.1f, C* %.1f); L* from 0 to 100 and C* of at least 0 are accepted", text, c.L, c.C, bare.L, bare.Chroma())
		}
		t.view.Lab = c.Lab()
		t.view.Words = d.Words()
	default:
		r, err := s.in.lent().ReadColour(text)
		if err != nil {
			return nil, input(fmt.Errorf("target: %w", err))
		}
		t.view.Note, t.view.Geometry = r.Note, r.Geometry
		switch {
		case r.Spectrum != nil:
			spectrum = r.Spectrum
			t.view.Lab = s.viewing.Lab(spectrum)
			t.bands = &search.BandGoal{Reflectance: *spectrum}
		case r.Viewing == s.viewing || r.Viewing.Name() == s.viewing.Name():
			t.view.Lab = r.Lab
		default:
			spectrum = like(r.Lab, r.Viewing, r.Geometry)
			if spectrum == nil {
				return nil, inputf("target %q was read under %s, and no reflectance of that colour is known to carry it to %s", text, r.Viewing.Name(), s.viewing.Name())
			}
			t.view.Lab = s.viewing.Lab(spectrum)
			t.view.Note = strings.TrimSpace(t.view.Note + fmt.Sprintf(" read under %s and carried to %s by the spectrum of a skin of that colour", r.Viewing.Name(), s.viewing.Name()))
		}
	}
	return t, s.place(&t.view, spectrum)
}

// place tells the rest of a target of which colour and geometry are; without a spectrum
// it has that of a skin of its colour.
func (s *setting) place(t *TargetView, spectrum *colour.Spectrum) error {
	if spectrum == nil {
		spectrum = like(t.Lab, s.viewing, t.Geometry)
	}
	bare, err := s.bareIn(t.Geometry)
	if err != nil {
		return err
	}
	t.ColourView, t.Shift, t.SecondLab = colourView(s.viewing, t.Lab), colour.ShiftBetween(bare, t.Lab), t.Lab
	if spectrum != nil {
		t.SecondLab = s.second.Lab(spectrum)
	}
	return nil
}

// bareIn is the bare skin's colour in a geometry.
func (s *setting) bareIn(g colour.Geometry) (colour.Lab, error) {
	look, err := film.Predict(s.worn(nil, 0, s.tilt))
	if err != nil {
		return colour.Lab{}, input(err)
	}
	return look.Views[g.Assumed()], nil
}

// like returns the reflectance of a skin of a colour, or nil where there is
// none.
func like(c colour.Lab, v *colour.Viewing, g colour.Geometry) *colour.Spectrum {
	k, err := skin.FromReading(colour.Reading{Lab: c, Viewing: v, Geometry: g})
	if err != nil {
		return nil
	}
	return &k.Reflectance
}
