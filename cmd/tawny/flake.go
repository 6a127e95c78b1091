package main

import (
	"github.com/spf13/cobra"

	"tawny/cmd/tawny/work"
)

func newFlake() *cobra.Command {
	f := &sharedFlags{}
	in := work.FlakeInput{}
	var spread, coatSpread float64
	c := &cobra.Command{
		Use:   "flake",
		Short: "Compute the colour of a coated mica flake",
		Long: `Computes what a mica flake with the given coats reflects, straight on unless
--angle or --average says otherwise, its K and S per areal mass, and how a film
of such flakes looks from each side under light at 45°: 15° is close to the
mirror direction, 110° on the light's own side.
Coats are usually rutile, anatase or hematite; bare is plain mica.`,
		Example: "  tawny flake --coat rutile:75\n  tawny flake --coat rutile:60 --coat hematite:8 --average --json",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if err := noZero(c, "binder", "substrate-nm", "packing", "film-mg"); err != nil {
				return err
			}
			in.Illuminant, in.Observer = f.in.Illuminant, f.in.Observer
			if c.Flags().Changed("spread-nm") {
				in.SpreadNM = &spread
			}
			if c.Flags().Changed("coat-spread") {
				in.CoatSpread = &coatSpread
			}
			v, err := work.Flake(in)
			if err != nil {
				return err
			}
			return f.answer(c, v, func(s *screen) {
				s.line("Coats      %s on %.0f ± %.0f nm mica", v.Coats, v.SubstrateNM, v.SpreadNM)
				s.line("Reflects   %s%s   C* %.1f, hue %s", s.patch(v.Hex), labText(v.Lab), v.LCh.C, hueText(v.LCh))
				s.line("           at %s, under %s", v.Angle, v.Light)
				s.line("Covers     %.1f cm² of flake face to the mg", v.FaceArea)
				if v.Film != nil {
					s.film(v.Film)
				}
			})
		},
	}
	fs := c.Flags()
	fs.StringSliceVar(&in.Coats, "coat", nil, "a coat as material:nm, inner first; repeatable")
	fs.Float64Var(&in.SubstrateNM, "substrate-nm", 0, "thickness of the mica in nm (default 400)")
	fs.Float64Var(&spread, "spread-nm", 0, "standard deviation of that thickness in nm (default a quarter)")
	fs.Float64Var(&coatSpread, "coat-spread", 0, "relative standard deviation of the coats (default 0.05)")
	fs.Float64Var(&in.Binder, "binder", 0, "refractive index around the flake (default 1.47)")
	fs.Float64Var(&in.Packing, "packing", 0, "share of the coat that is solid (default the material's usual)")
	fs.Float64Var(&in.AngleDeg, "angle", 0, "angle in the binder, degrees from straight on")
	fs.BoolVar(&in.Average, "average", false, "mean over the light coming in, as the film uses it")
	fs.Float64Var(&in.FilmMg, "film-mg", work.DefaultFilm, "powder in the film looked at by angle, mg/cm²")
	fs.StringVar(&in.On, "on", "", "what that film lies on: black, white, a preset skin or a colour (default black)")
	fs.StringVar(&f.in.Illuminant, "illuminant", "D65", "light it is seen in")
	fs.StringVar(&f.in.Observer, "observer", "2", "standard observer: 2 or 10 degrees")
	fs.BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
	return c
}
