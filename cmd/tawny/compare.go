package main

import (
	"github.com/spf13/cobra"

	"tawny/cmd/tawny/work"
)

func newCompare() *cobra.Command {
	f := &sharedFlags{}
	p := &pictureFlags{}
	turn, shimmer := work.DefaultTurn, false
	c := &cobra.Command{
		Use:   "compare",
		Short: "Set a warm and a cool version of one target side by side",
		Long: `Turns the target's hue --turn degrees towards yellow (warm) and as far towards
red (cool), matches both, and with --out writes one picture of the two
(compare.png, or compare.pdf with --format pdf).`,
		Example: "  tawny compare --demo --out demo\n  tawny compare --skin tan --target skin:3,5,0 --load 4 --turn 12 --format pdf --out both",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			in, err := f.input(c)
			if err != nil {
				return err
			}
			if err := p.check(c); err != nil {
				return err
			}
			for _, name := range []string{"format", "wide", "dpi", "seed", "shimmer"} {
				if f.out == "" && c.Flags().Changed(name) {
					return usagef("--%s is for the picture; give --out too", name)
				}
			}
			if err := work.OpenOut(f.out); err != nil {
				return err
			}
			report, stop := progress()
			r, err := work.Compare(c.Context(), in, turn, report)
			stop()
			if err != nil {
				return err
			}
			path := ""
			if f.out != "" {
				d, err := r.Picture(work.CardOptions{Shimmer: shimmer, Seed: p.seed})
				if err != nil {
					return err
				}
				paths, err := p.write(f.out, "compare", p.paper(), d)
				if err != nil {
					return err
				}
				path = paths[0]
			}
			return f.answer(c, r, func(s *screen) {
				if r.Title != "" {
					s.line("%s (demo: invented)", r.Title)
				}
				s.skinLine(&r.Warm.Skin)
				s.wornLine(&r.Warm.Conditions)
				s.line("Warm and cool are %.3g° of hue to either side of the target.", r.Turn)
				for _, m := range []*work.MatchResult{r.Warm, r.Cool} {
					s.line("")
					s.line("%s      %s%s", m.Title, s.patch(m.Target.Hex), labText(m.Target.Lab))
					s.blend(&m.Blends[0], true)
				}
				s.line("")
				s.line("The two differ by ΔE00 %.1f.", r.Between)
				if path != "" {
					s.line("Wrote %s", path)
				}
			})
		},
	}
	f.bindSkin(c.Flags())
	f.bindWorn(c.Flags())
	f.bindMatch(c.Flags())
	p.bindPaper(c.Flags())
	c.Flags().BoolVar(&shimmer, "shimmer", false, "picture the flakes under a lamp")
	c.Flags().Float64Var(&turn, "turn", turn, "degrees of hue to either side")
	return c
}
