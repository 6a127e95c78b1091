package job

import (
	"cmp"
	"context"
	"fmt"

	"tawny/blend/mend"
	"tawny/blend/palette"
)

var rangeJob = &Job{
	Name:     "range",
	Searches: true,
	Short:    "Find one small set of powders that makes a shade for several skins",
	Long: `Finds the fewest powders from which the target can be made on every --on skin
to within --within, and the blend for each. The target is usually relative to
the skin. With --out a card and a batch sheet are written for each skin, from the lots
that 'tawny book save' would take.`,
	Example: "  tawny range --on light --on intermediate --on tan --target skin:1,3,3 --load 4\n  tawny range --demo --on Maris --on Oda --within 1.5 --out range",
	New: func() Task {
		in := &Input{}
		q := &RangeInput{Within: 1}
		p := &picture{seed: 1}
		groups := in.matchGroups(Group{Title: "Range", Fields: []Field{
			onField(&q.Skins, "a skin; repeatable, 2 to 12"),
			{Name: "within", Words: "how near each shade must come to its target, ΔE00 (default 1)", High: 100, Above: true, To: &q.Within},
			p.flatField(),
			rigField(&p.rig),
			outField(""),
		}})
		groups[0].Fields[0].Hidden = true // the skins are those of on
		return in.asking(func(ctx context.Context, env *Env, in Input) (Result, error) {
			asked := *q
			asked.Input = in
			if len(asked.Skins) == 0 {
				return nil, faultf("on", "is given for no skin; twice or more is accepted")
			}
			r, err := Range(ctx, asked, env.Progress)
			if err == nil && env.Sends {
				err = r.deliver(ctx, env, p.options())
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
	s.line("%s for %s: %s.", plural(len(r.Powders), "powder"), plural(len(r.Shades), "skin"), listed(r.Powders, ", ", func(p *palette.Pigment) string { return p.Name }))
	s.fold("", when(r.Sets > 1, fmt.Sprintf("%d sets of this size serve every skin; this one keeps the worst shade nearest its target.", r.Sets)), r.LeftOut)
	for i := range r.Shades {
		v := &r.Shades[i]
		s.line("")
		if v.Name != "" {
			s.line("%s", v.Name)
		}
		s.skinLine(&v.Skin)
		s.targetLine(v.Target)
		s.blendLines(&v.Blend, true)
		if !v.Reached {
			s.line("    not within ΔE00 %g; the whole drawer comes to %.2f", r.Within, v.Nearest)
		}
	}
}

// RangeInput asks for a graded range: the same target relative to each skin,
// or one target for all.
type RangeInput struct {
	Input
	Skins  []string // as --skin takes them
	Within float64  // ΔE00; 0 means 1
}

// RangeResult is one set of powders and the blend of each skin.
type RangeResult struct {
	mend.RangeResult
	Shades []RangeShade `json:"shades"`
}

// RangeShade is one skin of a range.
type RangeShade struct {
	Name         string  `json:"name,omitempty"` // whose skin it is, where that is known
	*BlendResult         // called after them
	Nearest      float64 `json:"nearestDeltaE00"` // from the whole drawer
	Reached      bool    `json:"reached"`
}

// Range finds the fewest powders that make the target on every skin.
func Range(ctx context.Context, in RangeInput, progress func(float64)) (*RangeResult, error) {
	q := mend.RangeRequest{Within: in.Within, Progress: progress}
	var settings []*setting
	var targets []*target
	for i, text := range in.Skins {
		s, err := in.on(text).open()
		if err != nil {
			return nil, err
		}
		if i > 0 {
			s.drawer = settings[0].drawer
		}
		if err := s.openDrawer(); err != nil {
			return nil, err
		}
		t, err := s.target(in.Target)
		if err != nil {
			return nil, err
		}
		r, err := s.request(t)
		if err != nil {
			return nil, err
		}
		settings, targets = append(settings, s), append(targets, t)
		q.Members = append(q.Members, mend.Member{Name: s.skin.Name, Request: r})
	}
	res, err := mend.Range(ctx, q)
	if err != nil {
		return nil, searched(ctx, err)
	}
	out := &RangeResult{RangeResult: *res}
	for i, shade := range res.Shades {
		s := settings[i]
		v, err := s.blendView(shade.Blend, targets[i])
		if err != nil {
			return nil, err
		}
		v.Rank = 1
		name := s.herName()
		r := &BlendResult{Wearing: s.wearing(targets[i], v.LoadPercent, v.LoadPercent), Blend: *v}
		r.Title = cmp.Or(in.Title, in.demoLook, "Range") + " " + orElse(around("for ", name, ""), "on "+s.skin.Name)
		out.Shades = append(out.Shades, RangeShade{name, r, shade.Nearest, shade.Reached})
	}
	return out, nil
}

// deliver makes a card and a batch sheet for each shade.
func (r *RangeResult) deliver(ctx context.Context, env *Env, o CardOptions) error {
	for i, b := range r.Shades {
		b.setting.in.Title = b.Title
		now, err := env.toWeigh(ctx, b.BlendResult)
		if err != nil {
			return err
		}
		name := fmt.Sprintf("%d-%s", i+1, Slug(orElse(b.Name, b.Skin.Class), "shade"))
		if err := now.deliver(env, name, name, "text", o); err != nil {
			return err
		}
	}
	return nil
}
