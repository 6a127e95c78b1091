package job

import "context"

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
		in := &FlakeInput{}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return Flake(env, *in) }, Group{"Flake", []Field{
			{Name: "coat", Words: "a coat as material:nm, inner first; repeatable", Commas: true, To: &in.Coats},
			{Name: "substrate-nm", Words: "thickness of the mica in nm (default 400)", Unit: "nm", High: 1e5, Above: true, To: &in.SubstrateNM},
			{Name: "spread-nm", Words: "standard deviation of that thickness in nm (default a quarter)", Unit: "nm", High: 1e5, To: &in.SpreadNM},
			{Name: "coat-spread", Words: "relative standard deviation of the coats (default 0.05)", High: 1, To: &in.CoatSpread},
			{Name: "binder", Words: "refractive index around the flake (default 1.47)", High: 5, Above: true, To: &in.Binder},
			{Name: "packing", Words: "share of the coat that is solid (default the material's usual)", High: 1, Above: true, To: &in.Packing},
			{Name: "angle", Words: "angle in the binder, degrees from straight on", Unit: "degrees", High: 90, To: &in.AngleDeg},
			{Name: "average", Words: "mean over the light coming in, as the film uses it", To: &in.Average},
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
