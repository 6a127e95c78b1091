package job

import (
	"context"
	"encoding/json"
	"strings"
)

var drawerJob = &Job{
	Name:  "drawer",
	Short: "List the powders in the drawer",
	Long: `Lists the built-in drawer, or with --drawer your own, and checks the file.
tawny drawer show tells all of a powder. A drawer is a CSV file; README tells
its columns, and tawny drawer add makes one.`,
	Example: "  tawny drawer\n  tawny drawer show 'pale gold' --skin tan\n" +
		"  tawny drawer add --like gold --name 'gold from the fair' --drawer drawer.csv\n  tawny drawer --drawer drawer.csv",
	New: func() Task {
		in := &Input{}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			q, err := in.ready(env)
			if err != nil {
				return nil, err
			}
			return q.drawer(nil)
		}, Group{"Drawer", []Field{in.drawerField()}})
	},
}

var drawerShowJob = &Job{
	Name:  "drawer show",
	Args:  "POWDER...",
	Short: "Tell all of a powder: its coat, its grain and its colour by angle",
	Long: `Shows powders of the drawer in full, by angle over a black card or on a skin.
With --json a single powder is one object, several are a list as in tawny drawer.`,
	Example: "  tawny drawer show 'pale gold' --skin tan\n  tawny drawer show bronze --json\n  tawny drawer show 'pale gold' bronze --json",
	New: func() Task {
		in := &Input{}
		var names []string
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			q, err := in.ready(env)
			if err != nil {
				return nil, err
			}
			return q.drawer(names)
		}, words(Field{Name: "powder", Words: "which powder? its name is accepted; tawny drawer lists them", Arg: true, Rest: true, Lists: "powder", To: &names}),
			Group{"Drawer", []Field{
				in.drawerField(),
				{Name: "skin", Words: "show them on this skin: a preset or a colour (default black card)", Lists: "skin", To: &in.Skin},
			}})
	},
}

// MarshalJSON writes a single powder that was asked for as one object.
func (v *DrawerView) MarshalJSON() ([]byte, error) {
	if v.named && len(v.Powders) == 1 {
		return json.Marshal(v.Powders[0])
	}
	type list DrawerView
	return json.Marshal((*list)(v))
}

// Show lists the powders, in full where they were named.
func (v *DrawerView) Show(s *Screen) {
	s.line("%s", v.Title)
	s.line("")
	for _, p := range v.Powders {
		c := p.OnBlack.Lab.LCh()
		s.line("%s%-21s %-8s %5.3g µm   L* %4.1f  C* %4.1f  hue %3.0f°   %s", s.patch(p.OnBlack.Hex), p.Name, GradeWords(p.Grade), p.Grade[1], c.L, c.C, c.H, p.Source)
		if !v.named {
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
	s.line("%s. Colours are of a test smear, 0.3 mg/cm² of powder over black.", plural(len(v.Powders), "powder"))
}

func coatWords(layers string) string {
	if layers == "" {
		return ""
	}
	return "coats " + layers + "; "
}
