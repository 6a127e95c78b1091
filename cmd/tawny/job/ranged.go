package job

import (
	"context"
	"fmt"

	"tawny/blend/mend"
)

// RangeInput asks for a graded range: the same target relative to each skin,
// or one target for all.
type RangeInput struct {
	Input
	Skins  []string // as --skin takes them
	Within float64  // ΔE00; 0 means 1
}

// RangeResult is one set of powders and the blend of each skin.
type RangeResult struct {
	Powders []string     `json:"powders"`
	Within  float64      `json:"withinDeltaE00"`
	Sets    int          `json:"setsOfThisSize"`
	Counted bool         `json:"allSetsLookedAt"`
	Shades  []RangeShade `json:"shades"`

	blends []*BlendResult
}

// RangeShade is one skin of a range.
type RangeShade struct {
	Skin    SkinView   `json:"skin"`
	Target  TargetView `json:"target"`
	Blend   BlendView  `json:"blend"`
	Nearest float64    `json:"nearestDeltaE00"` // from the whole drawer
	Reached bool       `json:"reached"`
}

// Range finds the fewest powders that make the target on every skin.
func Range(ctx context.Context, in RangeInput, progress func(float64)) (*RangeResult, error) {
	q := mend.RangeRequest{Within: in.Within, Progress: progress}
	var settings []*setting
	var targets []*target
	for i, text := range in.Skins {
		one := in.Input
		one.Skin = text
		s, err := one.open()
		if err != nil {
			return nil, err
		}
		if i == 0 {
			err = s.openDrawer()
		} else {
			s.drawer = settings[0].drawer
		}
		if err != nil {
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
	out := &RangeResult{Within: res.Within, Sets: res.Sets, Counted: res.Counted}
	for _, p := range res.Powders {
		out.Powders = append(out.Powders, p.Name)
	}
	for i, shade := range res.Shades {
		s := settings[i]
		v, err := s.blendView(shade.Blend, targets[i])
		if err != nil {
			return nil, err
		}
		v.Rank = 1
		out.Shades = append(out.Shades, RangeShade{
			Skin: s.skinView(false), Target: targets[i].view, Blend: *v, Nearest: shade.Nearest, Reached: shade.Reached,
		})
		r := &BlendResult{Wearing: s.wearing(targets[i], v.LoadPercent, v.LoadPercent), Blend: *v}
		r.Title = fmt.Sprintf("%s on %s", orElse(r.Title, "Range"), s.skin.Name)
		out.blends = append(out.blends, r)
	}
	return out, nil
}

// deliver makes a card and a batch sheet for each shade.
func (r *RangeResult) deliver(env *Env, o CardOptions) error {
	for i, b := range r.blends {
		name := fmt.Sprintf("%d-%s", i+1, slug(b.Skin.Class))
		if err := b.deliver(env, name, name, "text", o); err != nil {
			return err
		}
	}
	return nil
}
