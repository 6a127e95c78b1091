package job

import (
	"context"

	"tawny/colour"
)

// LiveInput is what a moving slider asks: the same powders as before on a
// skin, for a target or a load that has just changed.
type LiveInput struct {
	Input
	Powders []string // of the blend so far; none asks for skin and target alone
}

// LiveResult is what is seen while a slider moves.
type LiveResult struct {
	Skin       SkinView       `json:"skin"`
	SkinD65    colour.LCh     `json:"skinD65"` // under D65/2, as the sliders set it
	Target     *TargetView    `json:"target,omitempty"`
	Conditions ConditionsView `json:"conditions"`
	Blend      *BlendView     `json:"blend,omitempty"`
	// Reach says why the powders so far give no blend, or "".
	Reach string `json:"reach,omitempty"`
}

// Live works out skin and target, and the best shares of the given powders:
// a match among them alone, which takes a few milliseconds.
func Live(ctx context.Context, in LiveInput) (*LiveResult, error) {
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	r := &LiveResult{Skin: s.skinView(false), SkinD65: s.skin.Lab.LCh()}
	r.Conditions = ConditionsView{Light: s.viewing.Name(), SecondLight: s.second.Name(), Apply: s.apply, Coverage: s.coverage, Tilt: s.tilt, Base: s.base.Name, BinderIndex: s.optics.Index}
	if r.Conditions.LoadMin, r.Conditions.LoadMax, err = in.loads(); err != nil {
		return nil, err
	}
	if in.Target == "" {
		return r, nil
	}
	t, err := s.target(in.Target)
	if err != nil {
		return nil, err
	}
	r.Target = &t.view
	if len(in.Powders) == 0 {
		return r, nil
	}
	if err := s.openDrawer(); err != nil {
		return nil, err
	}
	s.quick = true
	// Only these powders, whatever else was wished for.
	s.in.Only, s.in.Without, s.in.Must = in.Powders, nil, nil
	s.in.AtLeast, s.in.Most, s.in.Keep = nil, len(in.Powders), 1
	m, err := s.match(ctx, t, nil)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil:
		r.Reach = err.Error()
		return r, nil
	}
	r.Blend = &m.Blends[0]
	return r, nil
}
