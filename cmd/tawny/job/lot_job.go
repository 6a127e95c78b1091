package job

import "context"

var lotJob = &Job{
	Name:  "lot",
	Args:  "FILE",
	Short: "Compare a new lot of a powder with the old one",
	Long: `One quick film of the new lot, read as for tawny fit, tells how much stronger or
weaker it is than the powder in your drawer and how its shade differs. With
--skin and --part a blend is matched again, so that it looks as it did with the
old lot; the recipe stays as it is where the films cannot tell a gain.

Drawing the old lot down beside the new, with a column lot that says old or new,
is surest where the powder's data are modelled. With --add the new lot takes the
old one's place in the drawer; a full set of films with tawny fit is surer.`,
	Example: "  tawny lot testdata/fit/pale-gold-lot-demo.csv --skin tan --part 'pale gold=2' --part 'red oxide=0.05'\n" +
		"  tawny fit testdata/fit/pale-gold-demo.csv --add --drawer drawer.csv\n" +
		"  tawny lot testdata/fit/pale-gold-lot-demo.csv --drawer drawer.csv --skin tan --part 'pale gold=2'\n" +
		"  tawny lot testdata/fit/pale-gold-lot-demo.csv --drawer drawer.csv --add",
	New: func() Task {
		in := &LotInput{}
		worn := in.wornGroup().Fields[0]
		return asking(func(ctx context.Context, env *Env) (_ Result, err error) {
			q := *in
			if q.Input, err = in.ready(env); err != nil {
				return nil, err
			}
			return Lot(q)
		}, words(fileArg("a drawdown of the new lot", &in.File)), in.skinGroup(), Group{"Blend", []Field{
			in.drawerField(), partField(&in.Parts), worn, in.baseField(),
			{Name: "add", Words: "put the new lot into the drawer in the old one's place", To: &in.Add},
		}}, in.lightGroup())
	},
}

// Show writes how the lots differ.
func (r *LotResult) Show(s *Screen) {
	of := "the powder in the drawer"
	if r.Old != "" {
		of = "lot " + r.Old
	}
	s.line("%s, lot %s, against %s, whose data are %s", r.Powder, orElse(r.Lot, "not named"), of, r.OldFrom)
	for _, w := range r.Words {
		s.fold("  ", w)
	}
	if b := r.Blend; b != nil {
		s.line("")
		s.skinLine(&b.Skin)
		s.line("Old lot   %s%s   %s", s.patch(b.Old.Hex), labText(b.Old.Lab), b.Old.shares(3))
		s.line("Same      %s%s   %s", s.patch(b.Unchanged.Hex), labText(b.Unchanged.Lab), "the same recipe with the new lot")
		s.line("          ΔE00 %.2f from the old lot's, %s%s", b.Unchanged.DeltaE00, b.Unchanged.Words, inBrackets(b.Unchanged.Off))
		if b.Kept {
			s.fold("          ", b.Words)
			s.added(r.Added, r.Powder)
			s.notes(r.Notes)
			return
		}
		s.line("Changed   %s%s   %s", s.patch(b.Rematched.Hex), labText(b.Rematched.Lab), b.Rematched.shares(3))
		s.line("          ΔE00 %.2f from the old lot's, %s%s", b.Rematched.DeltaE00, b.Rematched.Words, inBrackets(b.Rematched.Off))
		s.fold("          ", b.Words)
	}
	s.added(r.Added, r.Powder)
	s.notes(r.Notes)
}

func inBrackets(s string) string {
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}
