package main

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"tawny/cmd/tawny/work"
	"tawny/swatches"
)

func newMend() *cobra.Command {
	f := &sharedFlags{}
	q := work.CorrectInput{}
	c := &cobra.Command{
		Use:   "mend",
		Short: "Bring a made batch back to its shade",
		Long: `Says what to add to a batch that came out off its shade: powders and base only,
growing the batch least for the ΔE00 asked for, or coming nearest for the growth
allowed. Say what was weighed in, and what the batch looks like now:

  --reading lab:…        read with an instrument or from a photo
  --pick 12              without one: the patch of the ladder most like it.
                         With neither, the ladder is shown, and drawn into --out
                         (ladder.png). Picking on: --pick 12 --pick 5 is patch 12,
                         then patch 5 of a ladder half as coarse about it.

--seen says where it was looked at: skin, jar, or drawdown:MG on white.
A pick is marked by eye and trusted less.`,
		Example: "  tawny mend --demo --weighed 'warm gold=7.9' --weighed 'yellow oxide=0.08' --made 200 --out fix\n  tawny mend --skin tan --target skin:1,3,4 --weighed 'amber gold=8' --made 200 --evaporated 4 --reading lab:56.1,12.0,22.0 --within 0.5",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			in, err := f.input(c)
			if err != nil {
				return err
			}
			if err := noZero(c, "made", "within", "grow", "step"); err != nil {
				return err
			}
			if err := work.OpenOut(f.out); err != nil {
				return err
			}
			q.Input = in
			r, err := work.Correct(c.Context(), q)
			if err != nil {
				return err
			}
			path := ""
			if f.out != "" && len(r.Ladder) > 0 {
				path = filepath.Join(f.out, "ladder.png")
				if err := swatches.WritePNG(path, r.Picture(), swatches.Wide); err != nil {
					return err
				}
			}
			return f.answer(c, r, func(s *screen) {
				s.correction(r)
				if path != "" {
					s.line("Wrote %s", path)
				}
			})
		},
	}
	f.bindSkin(c.Flags())
	f.bindWorn(c.Flags())
	fs := c.Flags()
	fs.StringSliceVar(&f.in.Only, "only", nil, "add from these powders only")
	fs.StringSliceVar(&f.in.Without, "without", nil, "add none of these powders")
	fs.StringArrayVar(&q.Weighed, "weighed", nil, "a powder weighed in: 'pale gold=5.02' (grams); repeatable")
	fs.Float64Var(&q.Made, "made", 0, "grams weighed in all, powders and base together")
	fs.Float64Var(&q.Evaporated, "evaporated", 0, "grams of water lost since")
	fs.Float64Var(&q.Removed, "removed", 0, "grams taken out since: samples, filled jars")
	fs.StringVar(&q.Reading, "reading", "", "the batch's colour as read")
	fs.IntSliceVar(&q.Picks, "pick", nil, "number of the ladder's patch most like it; repeatable, each time from a ladder half as coarse")
	fs.Float64Var(&q.Step, "step", 0, "ΔE00 between the ladder's patches (default 3)")
	fs.StringVar(&q.Seen, "seen", "skin", "where it was looked at: skin, jar or drawdown:MG (mg/cm² on white)")
	fs.Float64Var(&q.Within, "within", 0, "ΔE00 to come within, growing least (default as near as --grow lets)")
	fs.Float64Var(&q.Growth, "grow", 0, "most the batch may grow, per cent (default 50)")
	fs.IntVar(&q.New, "new", 0, "how many powders the batch has none of may be added")
	fs.BoolVar(&q.NoBase, "no-base", false, "add powders only")
	return c
}

func (s *screen) correction(r *work.CorrectResult) {
	s.skinLine(&r.Skin)
	s.line("Target    %s%s   %s", s.patch(r.Target.Hex), labText(r.Target.Lab), shiftWords(r.Target.Shift))
	if len(r.Ladder) > 0 {
		s.line("")
		s.fold("", fmt.Sprintf("Which patch is most like the batch, seen on: %s? They are ΔE00 %.2g apart. Give its number with --pick.", r.Seen, r.Step))
		for _, p := range r.Ladder {
			s.line("%3d  %s%s   %s", p.Number, s.patch(p.Hex), labText(p.Lab), p.Words)
		}
		return
	}
	eye := ""
	if r.ByEye {
		eye = ", by eye"
	}
	s.line("Seen      %s   on: %s%s", labText(*r.Read), r.Seen, eye)
	off := r.Now.Words
	if off != "" {
		off = "; wants to be " + off
	}
	s.line("Worn now  %s   ΔE00 %.1f from the target%s", labText(r.Now.Lab), r.Now.DeltaE00, off)
	s.line("")
	if len(r.Additions) == 0 && r.BaseGrams == 0 {
		s.line("Nothing to add.")
	}
	for _, a := range r.Additions {
		mark := ""
		if a.New {
			mark = "   (new to this batch)"
		}
		s.line("Add %8.2f g  %s%s", a.Grams, a.Powder, mark)
	}
	if r.BaseGrams > 0 {
		water := ""
		if r.WaterGrams > 0 {
			water = fmt.Sprintf("   of which %.2f g boiled purified water for what was lost", r.WaterGrams)
		}
		s.line("Add %8.2f g  base%s", r.BaseGrams, water)
	}
	s.line("")
	s.line("The batch then weighs %.2f g, %.1f %% more. Expected, with what the reading taught:", r.AfterGrams, r.Growth)
	s.blendLines(r.Blend, true)
	if !r.Reached {
		s.fold("    ", "This does not come as near as asked within the growth allowed.")
	}
	for _, k := range r.Strengths {
		s.line("    %s turned out %.0f %% as strong as listed", k.Powder, 100*k.Factor)
	}
	if r.Left >= 0.5 {
		s.fold("    ", fmt.Sprintf("ΔE00 %.1f of what was seen is explained by no powder's strength; check the weights and the reading.", r.Left))
	}
	s.line("")
	s.fold("", "Stir the additions in as the first powders were, gently and below 40 °C; look again before adding more. More base thins nothing out of the preservative; bare water does, so keep to what was lost.")
}
