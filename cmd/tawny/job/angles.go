package job

import (
	"cmp"
	"fmt"
	"strings"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// FilmView is how a film of one powder looks from each side: the powder alone
// in clear binder, flakes lying as in a test smear, light at 45°.
type FilmView struct {
	Mass       float64         `json:"powderMgCm2"`
	On         string          `json:"on"`
	Tilt       float64         `json:"tiltDegrees"`
	Light      string          `json:"light"`
	ColourView                 // diffuse, as a sphere reads it, gloss included as the ground's
	Bare       colour.Lab      `json:"bareLab"` // the ground by itself
	Angles     []AngleView     `json:"angles"`
	Travel     colour.LChShift `json:"travel"` // from 15° to 110°
}

// DefaultFilm is the powder of a test smear, mg/cm²: ten times what a 3 %
// lotion smoothed on leaves, so that the powder shows.
const DefaultFilm = smearApply * smearPercent / 100

// filmView looks at a powder's film of mg/cm² on a ground: black or white card,
// a preset skin or any colour. The powder's optics are for a binder of index.
func (e *Env) filmView(g *palette.Pigment, mg float64, on string, index float64, v *colour.Viewing) (*FilmView, error) {
	mg = cmp.Or(mg, DefaultFilm)
	if !(mg > 0 && mg*100/smearPercent <= film.MaxApply) {
		return nil, inputf("a film of %g mg/cm² of powder; more than 0 and at most %g is accepted", mg, film.MaxApply*smearPercent/100)
	}
	w := film.Worn{
		Parts: []film.Part{{Pigment: g, Percent: smearPercent}}, Apply: mg * 100 / smearPercent,
		Tilt: film.TiltFor(smearApply), Light: v, Base: film.Base{Index: index},
	}
	f := &FilmView{Mass: mg, Tilt: w.Tilt, Light: v.Name()}
	var err error
	if w.Ground, f.On, err = e.groundOf(on); err != nil {
		return nil, err
	}
	look, err := film.Predict(w)
	if err != nil {
		return nil, input(err)
	}
	f.ColourView, f.Angles = colourView(v, look.Lab), angleViews(v, look.Angles[:])
	f.Bare, f.Travel = v.Lab(&w.Ground.Reflectance), look.Travel()
	return f, nil
}

// groundOf is what a film is looked at on: black card, where nothing is said, or
// white, a preset skin or any colour.
func (e *Env) groundOf(on string) (g film.Ground, name string, err error) {
	switch strings.ToLower(strings.TrimSpace(on)) {
	case "", "black":
		return film.Ground{Reflectance: colour.Constant(blackCard), Card: true}, "black card", nil
	case "white":
		return film.Ground{Reflectance: colour.Constant(whiteCard), Card: true}, "white card", nil
	}
	k, _, err := e.openSkin(on)
	return film.Ground{Reflectance: k.Reflectance, Geometry: k.Reading.Geometry}, k.Name + when(k.Preset, " skin"), err
}

// film shows a powder's film by angle.
func (s *Screen) film(f *FilmView) {
	s.line("Film       %.3g mg/cm² of powder on %s, flakes within %.3g° of flat, %s", f.Mass, f.On, f.Tilt, f.Light)
	s.line("           %s%s   all round", s.patch(f.Hex), labColumns(f.Lab))
	s.directions(f.Angles)
	s.line("           from 15° to 110°: %s", shiftWords(f.Travel))
}

// directions shows what is seen from each side under light at 45°.
func (s *Screen) directions(list []AngleView) {
	for _, a := range list {
		s.line("           %s%s   at %-4s   C* %5.1f, hue %3.0f°", s.patch(a.Hex), labColumns(a.Lab), fmt.Sprintf("%.0f°", a.Aspecular), a.LCh.C, a.LCh.H)
	}
}

// labColumns is labText for rows under each other: near the mirror L* passes 100
// and b* too may.
func labColumns(c colour.Lab) string {
	return fmt.Sprintf("L* %5.1f  a* %6.1f  b* %6.1f", c.L, c.A, c.B)
}
