package job

import (
	"context"
	"fmt"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/film"
	"tawny/blend/palette"
)

// Wearing is whose skin it is, what was aimed at and what a prediction holds
// for: what every result about blends tells first.
type Wearing struct {
	Title      string         `json:"title,omitempty"`
	Skin       SkinView       `json:"skin"`
	Target     *TargetView    `json:"target,omitempty"`
	Conditions ConditionsView `json:"conditions"`

	setting *setting
	target  *target // nil where nothing was aimed at
}

// ConditionsView says what a prediction holds for.
type ConditionsView struct {
	Light       string  `json:"light"`
	SecondLight string  `json:"secondLight"`
	Apply       float64 `json:"applyMgCm2"`
	Coverage    string  `json:"coverage,omitempty"`
	Tilt        float64 `json:"tiltDegrees"`
	SurfaceTilt float64 `json:"surfaceTiltDegrees"`
	LoadMin     float64 `json:"loadMinPercent"`
	LoadMax     float64 `json:"loadMaxPercent"`
	Base        string  `json:"base"`
	BinderIndex float64 `json:"binderIndex"`
	Drawer      string  `json:"drawer"`
	Powders     int     `json:"powders"` // to choose from
	EqualWithin float64 `json:"equalWithinDeltaE00"`
}

// wearing tells of a setting, for loads from lo to hi.
func (s *setting) wearing(t *target, lo, hi float64) Wearing {
	w := Wearing{Title: orElse(strings.TrimSpace(s.in.Title), s.in.DemoTitle()), Skin: s.skinView(), setting: s, target: t}
	if t != nil {
		w.Target = &t.view
	}
	w.Conditions = ConditionsView{
		Light: s.viewing.Name(), SecondLight: s.second.Name(), Apply: s.apply, Coverage: s.coverage, Tilt: s.tilt, SurfaceTilt: s.in.SurfaceTilt,
		LoadMin: lo, LoadMax: hi, Base: s.base.Name, BinderIndex: s.optics.Index, Drawer: orElse(s.in.Drawer, "built in"),
	}
	if s.drawer != nil {
		w.Conditions.Powders = len(s.drawer.Pigments)
	}
	return w
}

// BlendResult is one blend on a skin, stated or matched. Cards, charts, boards,
// batches and the book's records are made of it.
type BlendResult struct {
	Wearing
	Blend BlendView `json:"blend"`

	batch *batch.Batch // once scaled
}

// Blend predicts a stated blend; the target may be left out.
func Blend(in Input) (*BlendResult, error) { return in.blendOf(func([]film.Part) {}) }

// blendOf is Blend of the powders as they come out of change.
func (in Input) blendOf(change func(parts []film.Part)) (*BlendResult, error) {
	s, parts, err := in.openBlend()
	if err != nil {
		return nil, err
	}
	t, err := s.targetIfSaid()
	if err != nil {
		return nil, err
	}
	change(parts)
	return s.stated(parts, t)
}

// stated is the result of a blend's parts; without a skin nothing is predicted.
func (s *setting) stated(parts []film.Part, t *target) (*BlendResult, error) {
	v := &BlendView{parts: parts, Parts: s.partViews(parts)}
	for _, p := range parts {
		v.LoadPercent += p.Percent
	}
	if !s.weighOnly {
		var err error
		if v, err = s.lookView(parts, t); err != nil {
			return nil, err
		}
	}
	return &BlendResult{Wearing: s.wearing(t, v.LoadPercent, v.LoadPercent), Blend: *v}, nil
}

// blended is the stated blend, or the one of a rank among those matched, and
// the result that tells of it.
func (in Input) blended(ctx context.Context, progress func(float64)) (*BlendResult, Result, error) {
	if len(in.Parts) > 0 {
		r, err := Blend(in)
		return r, r, err
	}
	m, err := Match(ctx, in, progress)
	if err != nil {
		return nil, nil, err
	}
	rank := max(in.Rank, 1)
	if rank > len(m.Blends) {
		return nil, nil, inputf("no blend ranks %d; 1 to %d is accepted", rank, len(m.Blends))
	}
	return m.one(rank), m, nil
}

// one is the blend of a rank (1 is the best).
func (m *MatchResult) one(rank int) *BlendResult {
	return &BlendResult{Wearing: m.Wearing, Blend: m.Blends[rank-1]}
}

// parts looks up "name=percent" items in the drawer.
func (s *setting) parts(items []string) ([]film.Part, error) {
	var parts []film.Part
	seen := map[*palette.Pigment]bool{}
	total := 0.0
	for _, item := range items {
		name, percent, err := amount(item, shares)
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

// partItems are parts as a request states them, which setting.parts looks up.
func partItems(parts []film.Part) (items []string) {
	for _, p := range parts {
		items = append(items, fmt.Sprintf("%s=%.9g", p.Pigment.Name, p.Percent))
	}
	return items
}

// title is what the blend is called: the words given, or whose it is.
func (r *BlendResult) title() string {
	switch {
	case r.Title != "":
		return r.Title
	case r.setting.weighOnly:
		return r.Blend.names()
	}
	return "Blend for " + r.Skin.Name
}

// Batch scales the blend and prices it.
func (r *BlendResult) Batch() (*batch.Batch, error) {
	if r.batch != nil {
		return r.batch, nil
	}
	b, err := r.scaled()
	if err != nil {
		return nil, err
	}
	s := r.setting
	if v := &r.Blend; v.Rank > 0 && len(v.parts) > 1 && !s.weighOnly {
		note, err := s.smallestNote(v, r.target, b.TotalG)
		if err != nil {
			return nil, err
		}
		if note != "" {
			b.Notes = append(b.Notes, note)
		}
	}
	if err := s.in.Bench.price(s.in.lent(), b); err != nil {
		return nil, err
	}
	r.batch = b
	return b, nil
}

// scaled is the batch without its price and what other sizes would do.
func (r *BlendResult) scaled() (*batch.Batch, error) {
	return r.setting.batchOf(r.title(), &r.Blend, r.target)
}

// Show writes the blend and its look.
func (r *BlendResult) Show(s *Screen) {
	s.skinLine(&r.Skin)
	s.blend(&r.Blend, r.Target != nil)
}
