package job

import (
	"tawny/blend/batch"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/swatches"
)

// BlendInput is powders in stated amounts, "name=percent of the product".
type BlendInput struct {
	Input
	Parts []string
	Title string
	// WeighOnly lets the skin be left out, for a batch sheet that predicts
	// nothing.
	WeighOnly bool
}

// BlendResult is the look of a stated blend on a skin.
type BlendResult struct {
	Title      string         `json:"title,omitempty"`
	Skin       SkinView       `json:"skin"`
	Target     *TargetView    `json:"target,omitempty"`
	Conditions ConditionsView `json:"conditions"`
	Blend      BlendView      `json:"blend"`

	setting *setting
	target  *target
}

// Blend predicts a stated blend; the target may be left out.
func Blend(in BlendInput) (*BlendResult, error) {
	weighOnly := in.WeighOnly && in.Skin == ""
	if weighOnly {
		in.Skin = "intermediate" // any will do; nothing of it is shown
	}
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	s.weighOnly = weighOnly
	if err := s.openDrawer(); err != nil {
		return nil, err
	}
	parts, err := s.parts(in.Parts)
	if err != nil {
		return nil, err
	}
	r := &BlendResult{Title: orElse(in.Title, in.DemoTitle()), Skin: s.skinView(false), setting: s}
	if in.Target != "" {
		if r.target, err = s.target(in.Target); err != nil {
			return nil, err
		}
		r.Target = &r.target.view
	}
	v, err := s.lookView(parts, r.target)
	if err != nil {
		return nil, err
	}
	r.Blend = *v
	r.Conditions = ConditionsView{
		Light: s.viewing.Name(), SecondLight: s.second.Name(), Apply: s.apply, Coverage: s.coverage, Tilt: s.tilt,
		LoadMin: v.LoadPercent, LoadMax: v.LoadPercent, Base: s.base.Name, BinderIndex: s.optics.Index,
		Drawer: orElse(in.Drawer, "built in"), Powders: len(s.drawer.Pigments),
	}
	return r, nil
}

// parts looks up "name=percent" items in the drawer.
func (s *setting) parts(items []string) ([]film.Part, error) {
	var parts []film.Part
	seen := map[*palette.Pigment]bool{}
	total := 0.0
	for _, item := range items {
		name, percent, err := namedNumber(item)
		if err != nil {
			return nil, err
		}
		g, err := s.drawer.Find(name)
		if err != nil {
			return nil, input(err)
		}
		if seen[g] {
			return nil, inputf("powder %q is named twice", g.Name)
		}
		if percent == 0 {
			return nil, inputf("powder %q at 0 %%; more than 0 is accepted", g.Name)
		}
		seen[g] = true
		total += percent
		parts = append(parts, film.Part{Pigment: g, Percent: percent})
	}
	if len(parts) == 0 {
		return nil, inputf("no powders; powder=percent is accepted, such as 'pale gold=1.5'")
	}
	if total > film.MaxLoad {
		return nil, inputf("the powders add up to %g %%; at most %g %% w/w is accepted", total, film.MaxLoad)
	}
	return parts, nil
}

func (r *BlendResult) title() string {
	if r.Title != "" {
		return r.Title
	}
	if r.setting.weighOnly {
		return PowderList(&r.Blend)
	}
	return "Blend for " + r.Skin.Name
}

// Batch scales the blend.
func (r *BlendResult) Batch() (*batch.Batch, error) {
	return r.setting.batchOf(r.title(), &r.Blend, r.target)
}

// Card draws the blend, with the weights of its batch.
func (r *BlendResult) Card(o CardOptions) (*swatches.Card, error) {
	p, err := r.piece()
	if err != nil {
		return nil, err
	}
	return p.card(o)
}

func (r *BlendResult) piece() (*piece, error) {
	b, err := r.Batch()
	if err != nil {
		return nil, err
	}
	return &piece{r.setting, r.title(), &r.Blend, r.target, b}, nil
}

// Show writes the blend and its look.
func (r *BlendResult) Show(s *Screen) {
	s.skinLine(&r.Skin)
	s.blend(&r.Blend, r.Target != nil)
}
