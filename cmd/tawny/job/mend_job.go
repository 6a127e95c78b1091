package job

import (
	"context"
	"fmt"

	"tawny/swatches"
)

var mendJob = &Job{
	Name:     "mend",
	Searches: true,
	Short:    "Bring a made batch back to its shade",
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
	New: func() Task {
		q := &CorrectInput{}
		in := &q.Input
		out := ""
		return asking(func(ctx context.Context, env *Env) (_ Result, err error) {
			asked := *q
			if asked.Input, err = in.ready(env); err != nil {
				return nil, err
			}
			r, err := Correct(ctx, asked)
			if err == nil && env.Sends && len(r.Ladder) > 0 {
				err = env.drawn("ladder", "png", swatches.Wide, r.Picture())
			}
			return r, err
		}, in.skinGroup(), in.shadeGroup(), in.wornGroup(), Group{"Batch as made", []Field{
			{Name: "weighed", Words: "a powder weighed in: 'pale gold=5.02' (grams); repeatable", Lists: "powder=", To: &q.Weighed},
			{Name: "made", Words: "grams weighed in all, powders and base together", Unit: "g", High: 1e6, Above: true, To: &q.Made},
			{Name: "evaporated", Words: "grams of water lost since", Unit: "g", High: 1e6, To: &q.Evaporated},
			{Name: "removed", Words: "grams taken out since: samples, filled jars", Unit: "g", High: 1e6, To: &q.Removed},
			{Name: "reading", Words: "the batch's colour as read", To: &q.Reading},
			{Name: "pick", Words: "number of the ladder's patch most like it; repeatable, each time from a ladder half as coarse", Low: 1, High: 1000, To: &q.Picks},
			{Name: "step", Words: "ΔE00 between the ladder's patches (default 3)", High: 50, Above: true, To: &q.Step},
			{Name: "seen", Words: "where it was looked at: skin, jar or drawdown:MG (mg/cm² on white) (default skin)", To: &q.Seen},
		}}, Group{"Additions", []Field{
			in.drawerField(),
			{Name: "only", Words: "add from these powders only", Lists: "powders", Commas: true, To: &in.Only},
			{Name: "without", Words: "add none of these powders", Lists: "powders", Commas: true, To: &in.Without},
			{Name: "within", Words: "ΔE00 to come within, growing least (default as near as grow lets)", High: 100, Above: true, To: &q.Within},
			{Name: "grow", Words: "most the batch may grow, per cent (default 50)", Unit: "%", High: 10000, Above: true, To: &q.Growth},
			{Name: "new", Words: "how many powders the batch has none of may be added", High: 4, To: &q.New},
			{Name: "no-base", Words: "add powders only", To: &q.NoBase},
			outField(&out),
		}}, in.batchGroup(), in.lightGroup())
	},
}

// Show writes what to add, or the ladder to pick from.
func (r *CorrectResult) Show(s *Screen) {
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
