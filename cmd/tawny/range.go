package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"tawny/cmd/tawny/work"
)

func newRange() *cobra.Command {
	f := &sharedFlags{}
	var skins []string
	within := 1.0
	shimmer := false
	c := &cobra.Command{
		Use:   "range",
		Short: "Find one small set of powders that makes a shade for several skins",
		Long: `Finds the fewest powders from which the target can be made on every --on skin
to within --within, and the blend for each. The target is usually relative to
the skin. With --out a card and a batch sheet are written for each skin.`,
		Example: "  tawny range --on light --on intermediate --on tan --target skin:1,3,3 --load 4\n  tawny range --demo --on Maris --on Oda --within 1.5 --out range",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			in, err := f.input(c)
			if err != nil {
				return err
			}
			if len(skins) == 0 {
				return usageError{fmt.Errorf("no skins; give --on twice or more")}
			}
			if !(within > 0) {
				return usageError{fmt.Errorf("--within is %g; more than 0 is accepted", within)}
			}
			if f.demo {
				skins = work.DemoSkins(skins)
			}
			if f.out != "" {
				if err := work.OpenOut(f.out); err != nil {
					return err
				}
			}
			report, stop := progress()
			r, err := work.Range(c.Context(), work.RangeInput{Input: in, Skins: skins, Within: within}, report)
			stop()
			if err != nil {
				return err
			}
			var files []string
			if f.out != "" {
				if files, err = r.Deliver(f.out, work.CardOptions{Shimmer: shimmer, Seed: 1}); err != nil {
					return err
				}
			}
			return f.answer(c, r, func(s *screen) {
				s.line("%s for %s: %s.", strings.ToUpper(countWords(len(r.Powders))[:1])+countWords(len(r.Powders))[1:], plural(len(r.Shades), "skin"), strings.Join(r.Powders, ", "))
				if r.Sets > 1 {
					s.fold("", fmt.Sprintf("%d sets of this size serve every skin; this one keeps the worst shade nearest its target.", r.Sets))
				}
				for i := range r.Shades {
					v := &r.Shades[i]
					s.line("")
					s.skinLine(&v.Skin)
					s.line("Target    %s%s   %s", s.patch(v.Target.Hex), labText(v.Target.Lab), shiftWords(v.Target.Shift))
					s.blendLines(&v.Blend, true)
					if !v.Reached {
						s.line("    not within ΔE00 %g; the whole drawer comes to %.2f", r.Within, v.Nearest)
					}
				}
				if len(files) > 0 {
					s.line("")
					s.fold("", "Wrote "+strings.Join(files, ", ")+".")
				}
			})
		},
	}
	f.bindSkin(c.Flags())
	f.bindWorn(c.Flags())
	f.bindMatch(c.Flags())
	_ = c.Flags().MarkHidden("skin")
	c.Flags().StringArrayVar(&skins, "on", nil, "a skin; repeatable, 2 to 12")
	c.Flags().Float64Var(&within, "within", within, "how near each shade must come to its target, ΔE00")
	c.Flags().BoolVar(&shimmer, "shimmer", false, "picture the flakes under a lamp on the cards")
	return c
}
