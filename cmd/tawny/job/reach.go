package job

import (
	"context"
	"fmt"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/mend"
	"tawny/blend/search"
)

// ReachView says what would reach a target that is out of reach.
type ReachView struct {
	Within   float64     `json:"withinDeltaE00"`
	Missing  LackView    `json:"missing"`         // of the nearest blend
	Lacks    []string    `json:"lacks,omitempty"` // what the first blend has not of the shimmer asked for
	Load     *RouteView  `json:"load,omitempty"`
	Coverage *RouteView  `json:"coverage,omitempty"`
	Powders  []RouteView `json:"powders,omitempty"` // best first
	Together *RouteView  `json:"together,omitempty"`
}

// RouteView is one change that comes nearer, worked out by a match of its own.
type RouteView struct {
	mend.Route
	PowderName string   `json:"powder,omitempty"`
	Cost       float64  `json:"powderCostPer100"`
	Caution    string   `json:"caution,omitempty"`  // where the load is not usual for the kind of product
	Lacks      []string `json:"lacks,omitempty"`    // what it has not of the shimmer asked for
	Cheapest   bool     `json:"cheapest,omitempty"` // of those that reach, the one whose powders cost least on the skin
	Words      string   `json:"words"`
}

// FindReach works out which load, coverage or further powder would reach the
// target, and keeps it with the result. It takes seconds: every route is a
// search.
func (m *MatchResult) FindReach(ctx context.Context) error {
	rep, err := mend.Reach(ctx, m.result.Request, m.result)
	if err != nil {
		return searched(ctx, err)
	}
	want, first := m.result.Request.Shimmer, &m.Blends[0]
	v := &ReachView{Within: rep.Within, Missing: *lack(rep.Missing, rep.Nearest.Lab), Lacks: lacks(want, first.Gleam, first.Grain)}
	v.Load = routeView(rep.Load, func(r *mend.Route) string { return fmt.Sprintf("a load of %.3g %%", r.LoadPercent) })
	v.Coverage = routeView(rep.Coverage, func(r *mend.Route) string { return fmt.Sprintf("worn at %.3g mg/cm²", r.Apply) })
	for i := range rep.Powders {
		v.Powders = append(v.Powders, *routeView(&rep.Powders[i], powderRoute))
	}
	v.Together = routeView(rep.Together, func(r *mend.Route) string {
		return fmt.Sprintf("any load and every powder known: %.3g %% of %s", r.LoadPercent, blendNames(r.Blend))
	})
	v.weighUp(m.setting.base.Kind, want)
	m.Reach = v
	return nil
}

// weighUp adds the cautions and what of a shimmer is lacking, and says which way out
// costs least: among those that reach the target without either, if there is one.
func (v *ReachView) weighUp(kind batch.Kind, want *search.Shimmer) {
	usual := kind.UsualLoad()
	routes := []*RouteView{v.Load, v.Coverage, v.Together}
	for i := range v.Powders {
		routes = append(routes, &v.Powders[i])
	}
	var best *RouteView
	for _, r := range routes {
		if r == nil {
			continue
		}
		r.Lacks = lacks(want, r.Blend.Look.Gleam, r.Blend.Look.Grain)
		if r.LoadPercent < usual.Low-1e-9 || r.LoadPercent > usual.High+1e-9 {
			r.Caution = fmt.Sprintf("%.3g %% is outside the %g to %g %% that is usual in a %s: it may not stay suspended, or feel and spread as it should; make a small test batch", r.LoadPercent, usual.Low, usual.High, kind)
		}
		if !r.Reaches {
			continue
		}
		switch calm := r.calm(); {
		case best == nil, calm && !best.calm():
			best = r
		case calm == best.calm() && r.Cost*r.Apply < best.Cost*best.Apply:
			best = r
		}
	}
	if best != nil {
		best.Cheapest = true
	}
}

// calm reports whether nothing speaks against a route.
func (r *RouteView) calm() bool { return r.Caution == "" && len(r.Lacks) == 0 }

func routeView(r *mend.Route, words func(*mend.Route) string) *RouteView {
	if r == nil {
		return nil
	}
	v := &RouteView{Route: *r, Cost: r.Blend.CostPer100, Words: words(r)}
	if r.Powder != nil {
		v.PowderName = r.Powder.Name
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
