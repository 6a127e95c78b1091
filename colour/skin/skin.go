package skin

import (
	"fmt"
	"strings"

	"tawny/colour"
)

// How a skin's spectrum was had, as [Skin.Method] says it.
const (
	Measured  = "measured spectrum"
	Modelled  = "skin model"
	Smooth    = "smooth spectrum"
	FromModel = "skin model, of the middle of measured people"
)

// Skin is bare skin: what was read, and what follows from it.
type Skin struct {
	Name         string          // a preset's name, or the reading as written
	Reading      colour.Reading  // what it came from
	Site         Site            // where on the body
	Lab          colour.Lab      // under D65 and the 2° observer
	Reflectance  colour.Spectrum // with or without gloss as the reading was
	ITA          float64         // individual typology angle, degrees, of Lab
	ITAReliable  bool            // false where b* is too near 0 for ITA to mean much
	Class        Class           // by ITA
	Undertone    Undertone
	Method       string // how Reflectance was had
	Extrapolated bool   // further from the middle of measured skin than anyone the model was fitted to
	Preset       bool   // a stand-in for a reading
	Note         string // what the maker should know of it, or ""
}

// FromReading returns the skin of a reading, whose site is not said: see
// [Skin.At]. A reading's own spectrum
// is used as it is and only remarked on; L*a*b* goes through the skin model or, where the
// model has no such colour, is given a smooth spectrum. The Reflectance has the reading's
// colour to 1e-9 in L*, a*, b* under its own light and observer and in its own
// geometry. Only a spectrum outside (0, 1) or with a leap in it that nothing has,
// or a colour no spectrum has, is an error.
func FromReading(r colour.Reading) (Skin, error) {
	if r.Viewing == nil {
		r.Viewing = colour.D65
	}
	s := Skin{Name: r.Text, Reading: r, Note: r.Note}
	if s.Name == "" {
		s.Name = r.String()
	}
	if r.Spectrum != nil {
		if r.Bright != nil {
			return Skin{}, r.Bright
		}
		for i, x := range r.Spectrum {
			if !(x > 0 && x < 1) {
				return Skin{}, fmt.Errorf("skin %s: reflectance %g at %g nm; more than 0 and less than 1 is accepted", s.Name, x, colour.WavelengthNM(i))
			}
		}
		if err := colour.CheckSamples(colour.Wavelengths(), r.Spectrum[:]); err != nil {
			return Skin{}, fmt.Errorf("skin %s: %w", s.Name, err)
		}
		s.Reflectance, s.Method = *r.Spectrum, Measured
		s.describe()
		return s, nil
	}
	if !r.Lab.Finite() {
		return Skin{}, fmt.Errorf("skin %s: L*a*b* (%g, %g, %g); finite numbers are accepted", s.Name, r.Lab.L, r.Lab.A, r.Lab.B)
	}
	if s.model() != nil {
		smooth, err := SmoothSpectrum(r.Lab, r.Viewing, 0)
		if err != nil {
			return Skin{}, fmt.Errorf("skin %s: %w; check the reading", s.Name, err)
		}
		s.Reflectance, s.Method = smooth, Smooth
		s.note("not a colour the skin model can have; its spectrum is only a smooth one of this colour")
	}
	s.describe()
	return s, nil
}

// model gives s the spectrum of its colour by the skin model. The model is of
// readings with gloss, so a reading without has what it left out put back, and
// taken off the answer again; less of it where the answer would fall under
// [LeastBelow].
func (s *Skin) model() error {
	r := s.Reading
	scale, offset := fromIncluded(r.Geometry.Assumed())
	x, white := r.Viewing.XYZOf(r.Lab), r.Viewing.White()
	for _, part := range []float64{1, 0.75, 0.5, 0.25, 0} {
		c := r.Lab
		left := part * offset
		if scale != 1 || left != 0 {
			c = r.Viewing.LabOf(colour.XYZ{X: (x.X - left*white.X) / scale, Y: (x.Y - left*white.Y) / scale, Z: (x.Z - left*white.Z) / scale})
		}
		with, err := standard().Reflectance(c, r.Viewing)
		if err != nil {
			return err
		}
		enough := true
		for i, w := range with {
			s.Reflectance[i] = scale*w + left
			enough = enough && (left == 0 || s.Reflectance[i] >= LeastBelow)
		}
		if enough {
			s.Method = Modelled
			if part < 1 {
				s.note(fmt.Sprintf("so little of some of the light comes back that its surface was taken to return %.0f %% of what skin's usually does", 100*part))
			}
			return nil
		}
	}
	return ErrNoReflectance
}

// describe fills in what follows from the reflectance.
func (s *Skin) describe() {
	s.Lab = s.Reading.Lab
	if s.Reading.Viewing != colour.D65 {
		s.Lab = colour.D65.Lab(&s.Reflectance)
	}
	s.ITA = ITA(s.Lab)
	s.ITAReliable = ITAReliable(s.Lab)
	s.Class = ClassOf(s.ITA)

	with := s.withGloss()
	c := colour.D65.Lab(&with)
	s.Undertone = s.Site.undertone(c)
	if s.Method == Measured {
		s.note(flatInRed(&with, c))
	} else {
		_, distance := fromPeople(c)
		s.Extrapolated = s.Method == Smooth || distance > furthest
	}
	s.note(farWords(c))
}

// withGloss is the reflectance as a sphere with gloss would read it.
func (s *Skin) withGloss() colour.Spectrum {
	r := s.Reflectance
	if scale, offset := fromIncluded(s.Reading.Geometry.Assumed()); scale != 1 || offset != 0 {
		for i := range r {
			r[i] = (r[i] - offset) / scale
		}
	}
	return r
}

// At returns the skin as that of a site: its undertone is judged against the
// people measured there, and a preset is the site's own of its name.
func (s Skin) At(site Site) (Skin, error) {
	if s.Preset {
		return site.Find(s.Name)
	}
	with := s.withGloss()
	s.Site, s.Undertone = site, site.undertone(colour.D65.Lab(&with))
	return s, nil
}

func (s *Skin) note(text string) {
	if s.Note != "" && text != "" {
		s.Note += "; "
	}
	s.Note += text
}

// Parse reads a skin: the name of a preset, such as "light", one of the trade's
// words for it, such as "fair", or anything [colour.ParseReading] reads.
func Parse(text string) (Skin, error) {
	if p, err := Find(text); err == nil {
		return p, nil
	}
	r, err := colour.ParseReading(text)
	if err != nil {
		if strings.TrimSpace(text) != "" && colour.InWords(text) {
			_, err = Find(text)
			return Skin{}, fmt.Errorf("%w, or, which tells an undertone too, a reading such as lab:64.1,11.3,14.4, a colour off a photo such as #b98a6e/photo, or a CSV file", err)
		}
		return Skin{}, err
	}
	return FromReading(r)
}
