package job

import (
	"context"
	"strings"
)

var drawerAddJob = &Job{
	Name:  "drawer add",
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
	New: func() Task {
		in := &AddInput{}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			return Add(env, *in)
		},
			Group{"Powder", []Field{
				{Name: "name", Words: "what to call it", To: &in.Name},
				{Name: "like", Words: "a powder it is like, or its family: silver, gold, bronze …", Lists: "powder", To: &in.Like},
				{Name: "grade", Words: "its sizes in µm: 10-60, or d10-d50-d90 (default that of the powder it is like, or a family's middle one)", To: &in.Grade},
				{Name: "lot", Words: "its lot", To: &in.Lot},
				{Name: "price", Words: "what a gram costs", High: 1e6, To: &in.Price},
				{Name: "stock", Words: "grams on hand", Unit: "g", High: 1e7, To: &in.Stock},
				{Name: "drawer", Words: "your drawer, a CSV file; made where there is none", Lists: "csv", To: &in.Drawer},
				{Name: "replace", Words: "in place of the powder of that name", To: &in.Replace},
			}},
			Group{"Smear", append([]Field{
				{Name: "colour", Words: "the colour of a smear: lab:L,a,b, #rrggbb, file#sample …", To: &in.Colour},
				{Name: "on", Words: "what it is smeared on: black, white or a colour (default black)", To: &in.On},
				{Name: "photo", Words: "or a photo of the smear, marked with patch or strip and area", To: &in.Photo.File},
			}, in.Photo.markFields()...)})
	},
}

// Show writes the guess.
func (r *AddResult) Show(s *Screen) {
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
	s.line("Grade      %s, %.3g µm (%.3g to %.3g)", GradeWords(r.Grade), r.Grade[1], r.Grade[0], r.Grade[2])
	s.line("Test smear %s on black, near the mirror %s", labText(r.OnBlack.Lab), labText(r.OnBlack.Bright))
	s.added(r.Added, r.Name)
	if r.Added == nil {
		s.line("")
		s.line("Its row    %s", strings.TrimSpace(r.Row))
	}
	s.notes(r.Notes)
}
