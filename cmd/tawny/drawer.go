package main

import (
	"errors"
	"strings"

	"github.com/spf13/cobra"

	"tawny/cmd/tawny/work"
)

func newDrawer() *cobra.Command {
	f := &sharedFlags{}
	c := &cobra.Command{
		Args:  noArgs,
		Use:   "drawer",
		Short: "List the powders in the drawer",
		Long: `Lists the built-in drawer, or with --drawer your own, and checks the file.
tawny drawer show tells all of a powder. A drawer is a CSV file; README tells
its columns, and tawny drawer add makes one.`,
		Example: "  tawny drawer\n  tawny drawer show 'pale gold' --skin tan\n" +
			"  tawny drawer add --like gold --name 'gold from the fair' --drawer drawer.csv\n  tawny drawer --drawer drawer.csv",
		RunE: func(c *cobra.Command, args []string) error {
			v, err := work.Drawer(f.in.Drawer, nil)
			if err != nil {
				return err
			}
			return f.answer(c, v, func(s *screen) { s.drawer(v, false) })
		},
	}
	f.bindDrawer(c)
	c.AddCommand(newDrawerShow(), newDrawerAdd())
	return c
}

func newDrawerShow() *cobra.Command {
	f := &sharedFlags{}
	var on string
	c := &cobra.Command{
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usageError{errors.New("which powder? its name is accepted; tawny drawer lists them")}
			}
			return nil
		},
		Use:   "show powder...",
		Short: "Tell all of a powder: its coat, its grain and its colour by angle",
		Long: `Shows powders of the drawer in full, by angle over a black card or on a skin.
With --json a single powder is one object, several are a list as in tawny drawer.`,
		Example: "  tawny drawer show 'pale gold' --skin tan\n  tawny drawer show bronze --json\n  tawny drawer show 'pale gold' bronze --json",
		RunE: func(c *cobra.Command, args []string) error {
			v, err := work.DrawerOn(f.in.Drawer, args, on)
			if err != nil {
				return err
			}
			var whole any = v
			if len(args) == 1 {
				whole = v.Powders[0]
			}
			return f.answer(c, whole, func(s *screen) { s.drawer(v, true) })
		},
	}
	f.bindDrawer(c)
	c.Flags().StringVar(&on, "skin", "", "show them on this skin: a preset or a colour (default black card)")
	return c
}

func (f *sharedFlags) bindDrawer(c *cobra.Command) {
	c.Flags().StringVar(&f.in.Drawer, "drawer", "", "your drawer, a CSV file (default the built-in one)")
	c.Flags().BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
}

func (s *screen) drawer(v *work.DrawerView, full bool) {
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
