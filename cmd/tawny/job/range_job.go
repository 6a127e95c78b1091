package job

import (
	"context"
	"fmt"
	"strings"
)

var rangeJob = &Job{
	Name:     "range",
	Searches: true,
	Short:    "Find one small set of powders that makes a shade for several skins",
	Long: `Finds the fewest powders from which the target can be made on every --on skin
to within --within, and the blend for each. The target is usually relative to
the skin. With --out a card and a batch sheet are written for each skin.`,
	Example: "  tawny range --on light --on intermediate --on tan --target skin:1,3,3 --load 4\n  tawny range --demo --on Maris --on Oda --within 1.5 --out range",
	New: func() Task {
		in := &Input{}
		q := &RangeInput{Within: 1}
		shimmer, out := false, ""
		groups := in.matchGroups(Group{"Range", []Field{
			onField(&q.Skins, "a skin; repeatable, 2 to 12"),
			{Name: "within", Words: "how near each shade must come to its target, ΔE00 (default 1)", High: 100, Above: true, To: &q.Within},
			{Name: "shimmer", Words: "picture the flakes under a lamp on the cards", To: &shimmer},
			outField(&out),
		}})
		groups[0].Fields[0].Hidden = true // the skins are those of on
		return asking(func(ctx context.Context, env *Env) (_ Result, err error) {
			asked := *q
			if asked.Input, err = in.ready(env); err != nil {
				return nil, err
			}
			if len(asked.Skins) == 0 {
				return nil, faultf("on", "is given for no skin; twice or more is accepted")
			}
			if in.demo {
				asked.Skins = DemoSkins(asked.Skins)
			}
			r, err := Range(ctx, asked, env.Progress)
			if err == nil && env.Sends {
				err = r.deliver(env, CardOptions{Shimmer: shimmer, Seed: 1})
			}
			return r, err
		}, groups...)
	},
}

func onField(to *[]string, says string) Field {
	return Field{Name: "on", Words: says, Lists: "skin", To: to}
}

// Show writes the powders and the blend of each skin.
func (r *RangeResult) Show(s *Screen) {
	s.line("%s for %s: %s.", plural(len(r.Powders), "powder"), plural(len(r.Shades), "skin"), strings.Join(r.Powders, ", "))
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
}
