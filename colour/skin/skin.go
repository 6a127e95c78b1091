package skin

import (
	"errors"
	"fmt"
	"strings"

	"tawny/colour"
)

// How a skin's spectrum was had, as [Skin.Method] says it.
const (
	Measured  = "measured spectrum"
	Modelled  = "three-component skin model"
	Smooth    = "smoothest spectrum"
	FromModel = "preset from the skin model"
)

// Skin is bare skin: what was read, and what follows from it.
type Skin struct {
	Name         string          // a preset's name, or the reading as written
	Reading      colour.Reading  // what it came from
	Lab          colour.Lab      // under D65 and the 2° observer
	Reflectance  colour.Spectrum // specular included or excluded as the reading was
	ITA          float64         // individual typology angle, degrees, of Lab
	ITAReliable  bool            // false where b* is too near 0 for ITA to mean much
	Class        Class           // by ITA
	Undertone    Undertone
	Method       string     // how Reflectance was had
	Scores       [3]float64 // of the model, in standard deviations; 0 unless Method is Modelled or FromModel
	Extrapolated bool       // outside the fitted subjects
	Preset       bool       // a stand-in for a reading
	Note         string     // what the maker should know of it, or ""
}

// FromReading returns the skin of a reading. A reading's own spectrum is used
// as it is; L*a*b* goes through the three-component model, or, where no scores
// reproduce it, the smoothest spectrum. The Reflectance has the reading's
// colour to 1e-9 in L*, a*, b* under its own light and observer.
func FromReading(r colour.Reading) (Skin, error) {
	if r.Viewing == nil {
		r.Viewing = colour.D65
	}
	s := Skin{Name: r.Text, Reading: r, Note: r.Note}
	if s.Name == "" {
		s.Name = r.String()
	}
	if r.Spectrum != nil {
		for i, x := range r.Spectrum {
			if !(x > 0 && x < 1) {
				return Skin{}, fmt.Errorf("skin %s: reflectance %g at %g nm; more than 0 and less than 1 is accepted", s.Name, x, colour.WavelengthNM(i))
			}
		}
		s.Reflectance, s.Method = *r.Spectrum, Measured
		s.describe()
		return s, nil
	}
	if !r.Lab.Finite() {
		return Skin{}, fmt.Errorf("skin %s: L*a*b* (%g, %g, %g); finite numbers are accepted", s.Name, r.Lab.L, r.Lab.A, r.Lab.B)
	}
	scores, err := standard().Solve(r.Lab, r.Viewing, r.Excluded)
	if err != nil {
		return smoothSkin(s)
	}
	s.Reflectance, s.Scores, s.Method = standard().At(scores, r.Excluded), scores, Modelled
	s.Extrapolated = !standard().Inside(scores)
	if d := distance(scores); d > farDistance {
		s.note(fmt.Sprintf("%.0f standard deviations from the skins the model was fitted to; check the reading", d))
	}
	s.describe()
	return s, nil
}

// farDistance, in standard deviations, is past the published cluster of
// deepest skin (about 8) and well past every fitted subject (4): a reading out
// there is more likely a slip than a skin. A convention of this tool.
const farDistance = 10

// smoothSkin gives s the smoothest spectrum of its reading, keeping above the
// surface's own light where it can so that a film may be laid on it.
func smoothSkin(s Skin) (Skin, error) {
	r := s.Reading
	floor := 0.0
	if !r.Excluded {
		floor = Surface
	}
	spectrum, err := Smoothest(r.Lab, r.Viewing, floor)
	if err != nil && floor > 0 {
		if spectrum, err = Smoothest(r.Lab, r.Viewing, 0); err == nil {
			s.note(fmt.Sprintf("it returns less, somewhere in the spectrum, than the %.3g %% that skin's surface returns by itself; if it was read with the gloss excluded (45:0, a sphere that leaves it out, or a photo), write /de after it", 100*Surface))
		}
	}
	if err != nil {
		if errors.Is(err, ErrNoReflectance) {
			return Skin{}, fmt.Errorf("skin %s: %w; check the reading", s.Name, err)
		}
		return Skin{}, fmt.Errorf("skin %s: %w", s.Name, err)
	}
	s.Reflectance, s.Method, s.Extrapolated = spectrum, Smooth, true
	s.note("not a colour the skin model can have; its spectrum is only the smoothest one of this colour")
	s.describe()
	return s, nil
}

// describe fills in what follows from the reflectance.
func (s *Skin) describe() {
	s.Lab = s.Reading.Lab
	if s.Reading.Viewing != colour.D65 || s.Method == FromModel {
		s.Lab = colour.D65.Lab(&s.Reflectance)
	}
	s.ITA = ITA(s.Lab)
	s.ITAReliable = ITAReliable(s.Lab)
	s.Class = ClassOf(s.ITA)
	below := free(&s.Reflectance, s.Reading.Excluded)
	s.Undertone = undertoneOf(colour.D65.Lab(&below), standard().Hue)
}

func (s *Skin) note(text string) {
	if s.Note != "" {
		s.Note += "; "
	}
	s.Note += text
}

// Parse reads a skin: the name of a preset, such as "light", or anything
// [colour.ParseReading] reads.
func Parse(text string) (Skin, error) {
	if p, err := Find(text); err == nil {
		return p, nil
	}
	r, err := colour.ParseReading(text)
	if err != nil {
		if bare := strings.TrimSpace(text); bare != "" && !strings.ContainsAny(bare, ":#.,/\\") {
			_, err = Find(text)
			return Skin{}, fmt.Errorf("%w, or a reading such as lab:64.1,11.3,14.4, #b98a6e or a CSV file", err)
		}
		return Skin{}, err
	}
	return FromReading(r)
}
