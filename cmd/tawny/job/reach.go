package job

import (
	"context"
	"fmt"
	"strings"

	"tawny/blend/mend"
	"tawny/blend/search"
)

// ReachView says what would reach a target that is out of reach.
type ReachView struct {
	Within   float64     `json:"withinDeltaE00"`
	Missing  LackView    `json:"missing"` // of the nearest blend
	Load     *RouteView  `json:"load,omitempty"`
	Coverage *RouteView  `json:"coverage,omitempty"`
	Powders  []RouteView `json:"powders,omitempty"` // best first
	Together *RouteView  `json:"together,omitempty"`
}

// RouteView is one change that comes nearer, worked out by a match of its own.
type RouteView struct {
	Reaches     bool    `json:"reaches"`
	LoadPercent float64 `json:"loadPercent"`
	Apply       float64 `json:"applyMgCm2"`
	Powder      string  `json:"powder,omitempty"`
	InDrawer    bool    `json:"inDrawer,omitempty"` // left out by the wishes
	Invented    bool    `json:"invented,omitempty"` // no listed powder: a coat that would do
	DeltaE00    float64 `json:"deltaE00"`
	Words       string  `json:"words"`
}

// FindReach works out which load, coverage or further powder would reach the
// target, and keeps it with the result. It takes seconds: every route is a
// search.
func (m *MatchResult) FindReach(ctx context.Context) error {
	rep, err := mend.Reach(ctx, m.result.Request, m.result)
	if err != nil {
		return searched(ctx, err)
	}
	v := &ReachView{Within: rep.Within, Missing: LackView{
		DeltaE00: rep.Missing.DeltaE00, Shift: LChShift{rep.Missing.DL, rep.Missing.DC, rep.Missing.DH},
		Words: rep.Missing.Words, Lab: rep.Nearest.Lab,
	}}
	v.Load = routeView(rep.Load, func(r *mend.Route) string { return fmt.Sprintf("a load of %.3g %%", r.LoadPercent) })
	v.Coverage = routeView(rep.Coverage, func(r *mend.Route) string { return fmt.Sprintf("worn at %.3g mg/cm²", r.Apply) })
	for i := range rep.Powders {
		v.Powders = append(v.Powders, *routeView(&rep.Powders[i], powderRoute))
	}
	v.Together = routeView(rep.Together, func(r *mend.Route) string {
		return fmt.Sprintf("any load and every powder known: %.3g %% of %s", r.LoadPercent, blendNames(r.Blend))
	})
	m.Reach = v
	return nil
}

func routeView(r *mend.Route, words func(*mend.Route) string) *RouteView {
	if r == nil {
		return nil
	}
	v := &RouteView{Reaches: r.Reaches, LoadPercent: r.LoadPercent, Apply: r.Apply, InDrawer: r.InDrawer, Invented: r.Invented, DeltaE00: r.DeltaE00, Words: words(r)}
	if r.Powder != nil {
		v.Powder = r.Powder.Name
	}
	return v
}

func powderRoute(r *mend.Route) string {
	switch {
	case r.InDrawer:
		return r.Powder.Name + ", which was left out"
	case r.Invented:
		return "a powder like this modelled one: " + r.Powder.Name
	}
	return r.Powder.Name + " from the built-in drawer"
}

func blendNames(b search.Blend) string {
	var names []string
	for _, p := range b.Parts {
		names = append(names, p.Pigment.Name)
	}
	return strings.Join(names, ", ")
}
