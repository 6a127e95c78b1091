package job

import "context"

var compareJob = &Job{
	Name:     "compare",
	Searches: true,
	Short:    "Set a warm and a cool version of one target side by side",
	Long: `Turns the target's hue --turn degrees towards yellow (warm) and as far towards
red (cool), matches both, and with --out writes one picture of the two
(compare.png, or compare.pdf with --format pdf).`,
	Example: "  tawny compare --demo --out demo\n  tawny compare --skin tan --target skin:3,5,0 --load 4 --turn 12 --format pdf --out both",
	New: func() Task {
		in := &Input{}
		p := &picture{}
		turn, shimmer, out := DefaultTurn, false, ""
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			q, err := in.ready(env)
			if err != nil {
				return nil, err
			}
			for _, name := range []string{"format", "wide", "dpi", "seed", "shimmer"} {
				if !env.Sends && env.given(name) {
					return nil, faultf(name, "is for the picture; give {out} too")
				}
			}
			r, err := Compare(ctx, q, turn, env.Progress)
			if err != nil || !env.Sends {
				return r, err
			}
			d, err := r.Picture(CardOptions{Shimmer: shimmer, Seed: p.seed})
			if err != nil {
				return nil, err
			}
			return r, env.drawn("compare", p.format, p.paper(), d)
		}, in.matchGroups(Group{"Picture", append(p.paperFields(),
			Field{Name: "shimmer", Words: "picture the flakes under a lamp", To: &shimmer},
			Field{Name: "turn", Words: "degrees of hue to either side (default 10)", Unit: "degrees", High: 90, Above: true, To: &turn},
			outField(&out),
		)})...)
	},
}

// Show writes the best blend of each side.
func (r *CompareResult) Show(s *Screen) {
	if r.Title != "" {
		s.line("%s (demo: invented)", r.Title)
	}
	s.skinLine(&r.Warm.Skin)
	s.wornLine(&r.Warm.Conditions)
	s.line("Warm and cool are %.3g° of hue to either side of the target.", r.Turn)
	for _, m := range []*MatchResult{r.Warm, r.Cool} {
		s.line("")
		s.line("%s      %s%s", m.Title, s.patch(m.Target.Hex), labText(m.Target.Lab))
		s.blend(&m.Blends[0], true)
	}
	s.line("")
	s.line("The two differ by ΔE00 %.1f.", r.Between)
}
