package main

import (
	"strings"

	"github.com/spf13/cobra"

	"tawny/cmd/tawny/work"
)

func newPalette() *cobra.Command {
	f := &sharedFlags{}
	var on string
	c := &cobra.Command{
		Args:  cobra.ArbitraryArgs,
		Use:   "palette [powder]...",
		Short: "List the powders in the drawer",
		Long: `Lists the built-in drawer, or with --palette your own, and checks the file.
Named powders are shown in full. A drawer is a CSV file; README tells its
columns, and tawny palette add makes one.`,
		Example: "  tawny palette\n  tawny palette 'pale gold' --skin tan\n  tawny palette 'pale gold' bronze --json\n" +
			"  tawny palette add --like gold --name 'gold from the fair' --palette drawer.csv\n  tawny palette --palette drawer.csv",
		RunE: func(c *cobra.Command, args []string) error {
			v, err := work.PaletteOn(f.in.Palette, args, on)
			if err != nil {
				return err
			}
			return f.answer(c, v, func(s *screen) { s.palette(v, len(args) > 0) })
		},
	}
	c.Flags().StringVar(&f.in.Palette, "palette", "", "your drawer, a CSV file (default the built-in one)")
	c.Flags().BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
	c.Flags().StringVar(&on, "skin", "", "show named powders by angle on this skin: a preset or a colour (default black card)")
	c.AddCommand(newPaletteAdd())
	return c
}

func (s *screen) palette(v *work.PaletteView, full bool) {
	s.line("%s", v.Title)
	s.line("")
	for _, p := range v.Powders {
		c := p.OnBlack.Lab.LCh()
		s.line("%s%-21s %-8s %5.3g µm   L* %4.1f  C* %4.1f  hue %3.0f°   %s", s.patch(p.OnBlack.Hex), p.Name, work.GradeWords(p.Grade), p.Grade[1], c.L, c.C, c.H, p.Source)
		if !full {
			continue
		}
		var inci []string
		for _, i := range p.INCI {
			inci = append(inci, i.INCI)
		}
		s.line("    INCI %s; %s", strings.Join(inci, ", "), strings.Join(p.CI, ", "))
		s.line("    over black %s; near the mirror %s", labText(p.OnBlack.Lab), labText(p.OnBlack.Bright))
		s.line("    over white %s", labText(p.OnWhite.Lab))
		s.line("    %sgrain %.3g to %.3g µm; density %.2f g/cm³; %.2f per g; %.4g g in stock", coatWords(p.Layers), p.Grade[0], p.Grade[2], p.Density, p.Price, p.Stock)
		if n := p.Fit; n != nil {
			s.fold("    ", fitWords(n))
		}
		s.film(p.Film)
		if b := p.Bare; b != nil {
			s.line("Bare skin  %s%s   all round", s.patch(b.Hex), labColumns(b.Lab))
			s.directions("           ", b.Angles)
		}
	}
	s.line("")
	s.line("%s. Colours are of a test smear, 0.3 mg/cm² of powder over black.", countWords(len(v.Powders)))
}

func coatWords(layers string) string {
	if layers == "" {
		return ""
	}
	return "coats " + layers + "; "
}
