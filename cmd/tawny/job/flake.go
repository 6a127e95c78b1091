package job

import (
	"context"
	"strings"

	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

var flakeJob = &Job{
	Name:  "flake",
	Short: "Compute the colour of a coated mica flake",
	Long: `Computes what a mica flake with the given coats reflects, straight on unless
--angle or --average says otherwise, its K and S per areal mass, and how a film
of such flakes looks from each side under light at 45°: 15° is close to the
mirror direction, 110° on the light's own side.
Coats are usually rutile, anatase or hematite; bare is plain mica.`,
	Example: "  tawny flake --coat rutile:75\n  tawny flake --coat rutile:60 --coat hematite:8 --average --json",
	New: func() Task {
		in := &FlakeInput{Flake: flake.New()}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return Flake(env, *in) }, Group{Title: "Flake", Fields: []Field{
			{Name: "coat", Words: "a coat as material:nm, inner first; repeatable", Commas: true, To: &in.Layers},
			{Name: "substrate-nm", Words: "thickness of the mica in nm (default 400)", Unit: "nm", High: 1e5, Above: true, To: &in.SubstrateNM},
			{Name: "spread-nm", Words: "standard deviation of that thickness in nm (default a quarter)", Unit: "nm", High: 1e5, To: &in.Spread},
			{Name: "coat-spread", Words: "relative standard deviation of the coats (default 0.05)", High: 1, To: &in.CoatSpread},
			{Name: "binder", Words: "refractive index around the flake (default 1.47)", High: 5, Above: true, To: &in.Binder},
			{Name: "packing", Words: "share of the coat that is solid (default the material's usual)", High: 1, Above: true, To: &in.CoatPacking},
			{Name: "angle", Words: "angle in the binder, degrees from straight on", Unit: "degrees", High: 90, To: &in.AngleDeg},
			{Name: "average", Words: "mean over the light coming in", To: &in.Average},
			{Name: "film-mg", Words: "powder in the film looked at by angle, mg/cm² (default 0.3)", Unit: "mg/cm²", High: 1000, Above: true, To: &in.FilmMg},
			{Name: "on", Words: "what that film lies on: black, white, a preset skin or a colour (default black)", Lists: "skin", To: &in.On},
			{Name: "illuminant", Words: "light it is seen in (default D65)", Lists: "light", To: &in.Illuminant},
			{Name: "observer", Words: "standard observer: 2 or 10 degrees (default 2)", Lists: "observer", To: &in.Observer},
		}})
	},
}

// Show writes the flake.
func (v *FlakeView) Show(s *Screen) {
	s.line("Coats      %s on %.0f ± %.0f nm mica", v.Coats, v.SubstrateNM, v.SpreadNM)
	s.line("Reflects   %s%s   C* %.1f, hue %s", s.patch(v.Hex), labText(v.Lab), v.LCh.C, hueText(v.LCh))
	s.line("           at %s, under %s", v.Angle, v.Light)
	s.line("Covers     %.1f cm² of flake face to the mg", v.FaceArea)
	if v.Film != nil {
		s.film(v.Film)
	}
}

// FlakeInput is a coated flake as a maker writes it.
type FlakeInput struct {
	flake.Flake          // but for its coats and its spread
	Layers      []string // "rutile:75", inner first; none is plain mica
	Spread      *float64 // nm; nil means a quarter of the thickness
	AngleDeg    float64  // in the binder, from the normal
	Average     bool     // over the light coming in, instead of one angle
	FilmMg      float64  // mg/cm² of the film looked at by angle; 0 means that of a test smear
	On          string   // what the film lies on: black, white, a preset skin or a colour
	Illuminant  string
	Observer    string
}

// FlakeView is what a coated flake does to light.
type FlakeView struct {
	Coats         string    `json:"coats"`
	SubstrateNM   float64   `json:"substrateNm"`
	SpreadNM      float64   `json:"spreadNm"`
	CoatSpread    float64   `json:"coatSpread"`
	Binder        float64   `json:"binder"`
	Angle         string    `json:"angle"`
	Light         string    `json:"light"`
	ColourView              // of the reflected light
	FaceArea      float64   `json:"faceAreaCm2PerMg"`
	Wavelengths   []float64 `json:"wavelengths"`
	Reflectance   []float64 `json:"reflectance"`
	Transmittance []float64 `json:"transmittance"`
	Absorptance   []float64 `json:"absorptance"`
	K             []float64 `json:"kCm2PerMg"`      // absorption per areal mass
	S             []float64 `json:"sCm2PerMg"`      // reflection per areal mass
	Film          *FilmView `json:"film,omitempty"` // by angle; none for a flake in air
}

// Flake computes a coated flake.
func Flake(env *Env, in FlakeInput) (*FlakeView, error) {
	v, err := env.viewing(in.Illuminant, in.Observer)
	if err != nil {
		return nil, err
	}
	layers := strings.Join(in.Layers, "+")
	if strings.EqualFold(layers, palette.Bare) {
		layers = ""
	}
	f := in.Flake
	if f.Coats, err = flake.ParseLayers(layers); err != nil {
		return nil, input(err)
	}
	f.SubstrateSpreadNM = valueOr(in.Spread, f.SubstrateNM/4)
	view := &FlakeView{
		Coats: orElse(flake.FormatLayers(f.Coats), "none (plain mica)"), SubstrateNM: f.SubstrateNM, SpreadNM: f.SubstrateSpreadNM,
		CoatSpread: f.CoatSpread, Binder: f.Binder, Light: v.Name(), Wavelengths: colour.Wavelengths(),
	}
	var r, t, a colour.Spectrum
	if in.Average {
		view.Angle = "mean of the light coming in"
		r, t, a, err = f.Incoming()
	} else {
		view.Angle = trimNumber(in.AngleDeg) + " degrees in the binder"
		r, t, a, err = f.At(in.AngleDeg)
	}
	if err != nil {
		return nil, input(err)
	}
	o, err := f.Optics()
	if err != nil {
		return nil, input(err)
	}
	view.ColourView = colourView(v, v.Lab(&r))
	view.FaceArea = o.FaceArea
	view.Reflectance, view.Transmittance, view.Absorptance = r[:], t[:], a[:]
	view.K, view.S = o.K[:], o.S[:]
	if f.Binder > 1 {
		g := &palette.Pigment{Name: "flake"}
		if g.Optics, err = palette.FlakeOptics(f); err != nil {
			return nil, input(err)
		}
		view.Film, err = env.filmView(g, in.FilmMg, in.On, f.Binder, v)
	}
	return view, err
}
