package main

import (
	"strings"

	"github.com/spf13/cobra"

	"tawny/cmd/tawny/work"
)

func newDrawerAdd() *cobra.Command {
	f := &sharedFlags{}
	in := work.AddInput{}
	c := &cobra.Command{
		Use:   "add",
		Short: "Add a powder you have no measurements of",
		Long: `Guesses what a powder does to light from what it is like and its size grade,
and, where there is one, the colour of a smear rubbed on black card: the coat's
thickness is changed until the modelled smear has that colour. The powder is
marked guessed; tawny fit replaces it once it has been drawn down.

A colour with /de, a # colour and a photo are taken as seen off the gloss,
others as read by a sphere. Without --drawer nothing is written.`,
		Example: "  tawny drawer add --like 'pale gold' --grade 10-60 --name 'gold from the fair' --drawer drawer.csv\n" +
			"  tawny drawer add --like gold --colour lab:75,-6,26/de --name 'gold smear'\n" +
			"  tawny drawer add --like gold --photo testdata/photo/smear-demo.jpg --strip testdata/photo/strip-demo.csv@60,40,680,100 --area 500,280,160,160 --name 'gold smear'",
		Args: noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			r, err := work.Add(in)
			if err != nil {
				return err
			}
			return f.answer(c, r, func(s *screen) { s.guessed(r) })
		},
	}
	fs := c.Flags()
	fs.StringVar(&in.Name, "name", "", "what to call it")
	fs.StringVar(&in.Like, "like", "", "a powder it is like, or its family: silver, gold, bronze …")
	fs.StringVar(&in.Grade, "grade", "", "its sizes in µm: 10-60, or d10-d50-d90 (default that of the powder it is like, or a family's middle one)")
	fs.StringVar(&in.Colour, "colour", "", "the colour of a smear: lab:L,a,b, #rrggbb, file#sample …")
	fs.StringVar(&in.Photo.File, "photo", "", "or a photo of the smear, marked with --patch or --strip and --area")
	bindMarks(fs, &in.Photo)
	fs.StringVar(&in.On, "on", "", "what it is smeared on: black, white or a colour (default black)")
	fs.StringVar(&in.Drawer, "drawer", "", "your drawer, a CSV file; made where there is none")
	fs.StringVar(&in.Lot, "lot", "", "its lot")
	fs.Float64Var(&in.Price, "price", 0, "what a gram costs")
	fs.Float64Var(&in.Stock, "stock", 0, "grams on hand")
	fs.BoolVar(&in.Replace, "replace", false, "in place of the powder of that name")
	fs.BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
	return c
}

func (s *screen) guessed(r *work.AddResult) {
	s.line("%s%s: %s, like %s (%s)", s.patch(r.OnBlack.Hex), r.Name, r.Source, r.Like, r.Family)
	for _, w := range r.Words {
		s.fold("  ", w)
	}
	s.line("")
	if r.Wanted != nil {
		s.line("Smear      %s", labText(*r.Wanted))
		s.line("Guessed    %s", labText(*r.Found))
	}
	if r.Coat != "" {
		s.line("Coat       %s on %.0f nm mica", r.Coat, r.Substrate)
	}
	s.line("Grade      %s, %.3g µm (%.3g to %.3g)", work.GradeWords(r.Grade), r.Grade[1], r.Grade[0], r.Grade[2])
	s.line("Test smear %s on black, near the mirror %s", labText(r.OnBlack.Lab), labText(r.OnBlack.Bright))
	s.added(r.Added, r.Name)
	if r.Added == nil {
		s.line("")
		s.line("Its row    %s", strings.TrimSpace(r.Row))
	}
	s.notes(r.Notes)
}
