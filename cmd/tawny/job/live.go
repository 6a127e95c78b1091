package job

import (
	"context"
	"strings"

	"tawny/blend/search"
)

// LiveResult is what is seen while a slider moves.
type LiveResult struct {
	Wearing
	Blend *BlendView `json:"blend,omitempty"`
	// Reach says why the powders so far give no blend, or "".
	Reach string `json:"reach,omitempty"`
}

var liveJob = &Job{
	Name:    "live",
	Short:   "Follow a slider: skin, shade and the best shares of the powders so far",
	Follows: true,
	New: func() Task {
		in := &Input{}
		var parts []string
		return in.asking(func(ctx context.Context, env *Env, q Input) (Result, error) {
			if len(parts) > search.MostPowders {
				return nil, faultf("part", "names %d powders; at most %d is accepted", len(parts), search.MostPowders)
			}
			// Only these powders, whatever else was wished for.
			q.Only, q.Without, q.Must, q.AtLeast, q.Most, q.Keep = nil, nil, nil, nil, len(parts), 1
			for _, p := range parts {
				name, _, _ := strings.Cut(p, "=")
				q.Only = append(q.Only, name)
			}
			return q.live(ctx)
		}, in.matchGroups(Group{Title: "Blend", Fields: []Field{partField(&parts)}})...)
	},
}

// live works out skin and target, and the best shares of the powders chosen:
// a match among them alone, which takes a few milliseconds.
func (in Input) live(ctx context.Context) (*LiveResult, error) {
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	t, err := s.targetIfSaid()
	if err == nil && t != nil {
		_, err = s.goals(t)
	}
	if err != nil {
		return nil, err
	}
	lo, hi := in.loads()
	r := &LiveResult{Wearing: s.wearing(t, lo, hi)}
	if t == nil || len(in.Only) == 0 {
		return r, nil
	}
	if err := s.openDrawer(); err != nil {
		return nil, err
	}
	s.quick = true
	m, err := s.match(ctx, t, nil)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil:
		r.Reach = err.Error()
	default:
		r.Blend = &m.Blends[0]
	}
	return r, nil
}

// Show writes the blend.
func (r *LiveResult) Show(s *Screen) {
	s.skinLine(&r.Skin)
	if r.Blend != nil {
		s.blend(r.Blend, true)
	}
}
