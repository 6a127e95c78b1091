package mend

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
)

// Route is one change that brings a blend nearer a target out of reach.
type Route struct {
	Reaches     bool             // within the report's Within
	LoadPercent float64          // % w/w, the blend's
	Apply       float64          // mg/cm² of product
	Powder      *palette.Pigment // the powder to add; nil for none
	InDrawer    bool             // the powder is among the request's, but its choices left it out
	Invented    bool             // no listed powder but a coat that would do, modelled
	DeltaE00    float64          // what the nearest blend then has, √f where there are several goals
	Blend       search.Blend
}

// ReachReport says how far a target is out of reach and what would reach it.
// Every route is a match of its own; none is a guess.
type ReachReport struct {
	Within  float64 // ΔE00 that counts as reached
	Reached bool    // the nearest blend is within it already
	Nearest search.Blend
	Missing colour.Missing // from the nearest blend to the first target

	// The least change of load, or of coverage, that reaches the target, or
	// else the one that comes nearest; nil where none comes nearer.
	Load     *Route
	Coverage *Route
	// Powders that would help, the best first, one more in the drawer each.
	Powders []Route
	// Together is the nearest with any load and every powder known, where no
	// one change reaches.
	Together *Route
}

// Bounds and steps of the search for what would reach.
const (
	reachLeastApply = 0.2 // mg/cm²: thinner than the thinnest layer people were seen to put on
	reachMostApply  = 5.0 // mg/cm²: two and a half times the laboratory amount, about what stays put (from memory)
	reachApplies    = 13  // amounts tried between them, in even ratios
	reachHalvings   = 8
	reachPowders    = 5    // powders reported
	reachGain       = 0.05 // ΔE00 a route must gain to be worth telling
)

// Reach works out what a target out of reach lacks and which load, coverage
// or further powder would reach it. res is the request's own result.
func Reach(ctx context.Context, r search.Request, res *search.Result) (*ReachReport, error) {
	if res == nil || len(res.Blends) == 0 {
		return nil, errors.New("there is no blend to start from; match first")
	}
	s := &reach{ctx: ctx, r: r, within: math.Max(res.Request.Equal, search.EqualDeltaE)}
	s.r.Keep, s.r.Equal, s.r.Progress = 1, 1e-9, nil // nearest first
	nearest := res.Blends[0]
	for _, b := range slices.Concat(res.Blends, res.Front) {
		if b.Objective < nearest.Objective {
			nearest = b
		}
	}
	d, err := r.WithDefaults()
	if err != nil {
		return nil, err
	}
	s.full = d
	s.now = s.full.Distance(nearest.Objective)
	report := &ReachReport{
		Within: s.within, Nearest: nearest, Reached: s.now <= s.within,
		Missing: colour.MissingOf(nearest.Lab, d.Targets[0].Lab),
	}
	if report.Reached {
		return report, nil
	}
	if report.Load, err = s.byLoad(); err != nil {
		return nil, err
	}
	if report.Coverage, err = s.byCoverage(); err != nil {
		return nil, err
	}
	if report.Powders, err = s.byPowder(); err != nil {
		return nil, err
	}
	one := report.Load != nil && report.Load.Reaches || report.Coverage != nil && report.Coverage.Reaches ||
		len(report.Powders) > 0 && report.Powders[0].Reaches
	if !one {
		if report.Together, err = s.together(); err != nil {
			return nil, err
		}
		// All of it at once is worth telling only where it beats one change.
		for _, single := range report.Powders {
			s.now = math.Min(s.now, single.DeltaE00)
		}
		for _, single := range []*Route{report.Load, report.Coverage} {
			if single != nil {
				s.now = math.Min(s.now, single.DeltaE00)
			}
		}
		report.Together = s.useful(report.Together)
	}
	return report, nil
}

type reach struct {
	ctx    context.Context
	r      search.Request // asking for the nearest blend only
	full   search.Request // with defaults taken
	within float64
	now    float64 // the nearest blend's difference
	known  *palette.Drawer
}

// try matches a changed request; nil where it has no answer.
func (s *reach) try(r search.Request) (*Route, error) {
	res, err := search.Match(s.ctx, r)
	if s.ctx.Err() != nil {
		return nil, s.ctx.Err()
	}
	if err != nil {
		return nil, nil // such a load or limit has no blend: not a route
	}
	b := res.Blends[0]
	d := s.full.Distance(b.Objective)
	return &Route{Reaches: d <= s.within, LoadPercent: b.LoadPercent, Apply: res.Request.Apply, DeltaE00: d, Blend: b}, nil
}

// useful passes a route on if it gains anything.
func (s *reach) useful(route *Route) *Route {
	if route == nil || !route.Reaches && route.DeltaE00 > s.now-reachGain {
		return nil
	}
	return route
}

// byLoad finds the load nearest the asked one that reaches. The more loads are
// allowed the nearer the best of them, so halving finds the least widening.
func (s *reach) byLoad() (*Route, error) {
	var best *Route
	better := func(a *Route) bool {
		if a == nil || best == nil || a.Reaches != best.Reaches {
			return a != nil && (best == nil || a.Reaches)
		}
		if a.Reaches {
			return s.away(a.LoadPercent) < s.away(best.LoadPercent)
		}
		return a.DeltaE00 < best.DeltaE00
	}
	for _, end := range [2]float64{film.MaxLoad, 0} {
		widened := func(to float64) search.Request {
			r := s.r
			if end > 0 {
				r.LoadHi = to
			} else {
				r.LoadLo = to
			}
			return r
		}
		inner := s.r.LoadLo
		if end > 0 {
			inner = s.r.LoadHi
		}
		outer := end
		if inner == outer {
			continue
		}
		route, err := s.try(widened(outer))
		if err != nil {
			return nil, err
		}
		if route != nil && route.Reaches {
			if route, err = nearer(route, inner, outer, func(load float64) (*Route, error) { return s.try(widened(load)) }); err != nil {
				return nil, err
			}
		}
		if better(route) {
			best = route
		}
	}
	return s.useful(best), nil
}

// away is how far a load lies outside those asked for.
func (s *reach) away(load float64) float64 {
	return math.Max(math.Max(s.r.LoadLo-load, load-s.r.LoadHi), 0)
}

// byCoverage finds the amount put on, nearest the asked one, that reaches.
func (s *reach) byCoverage() (*Route, error) {
	asked := s.full.Apply
	at := func(apply float64) (*Route, error) {
		r := s.r
		r.Apply = apply
		if s.full.Tilt == film.TiltFor(asked) {
			r.Tilt = 0 // the tilt goes with the amount
		}
		return s.try(r)
	}
	var best *Route
	step := math.Pow(reachMostApply/reachLeastApply, 1.0/(reachApplies-1))
	for i := range reachApplies {
		route, err := at(reachLeastApply * math.Pow(step, float64(i)))
		if err != nil {
			return nil, err
		}
		if route == nil {
			continue
		}
		apart := func(r *Route) float64 { return math.Abs(math.Log(r.Apply / asked)) }
		switch {
		case best == nil, route.Reaches && !best.Reaches:
			best = route
		case route.Reaches == best.Reaches && (route.Reaches && apart(route) < apart(best) || !route.Reaches && route.DeltaE00 < best.DeltaE00):
			best = route
		}
	}
	if best == nil || !best.Reaches {
		return s.useful(best), nil
	}
	return nearer(best, math.Log(asked), math.Log(best.Apply), func(x float64) (*Route, error) { return at(math.Exp(x)) })
}

// nearer halves the way from inner, which does not reach, to outer, whose route
// does, and returns the last that does.
func nearer(route *Route, inner, outer float64, at func(float64) (*Route, error)) (*Route, error) {
	for range reachHalvings {
		middle := (inner + outer) / 2
		r, err := at(middle)
		if err != nil {
			return nil, err
		}
		if r != nil && r.Reaches {
			route, outer = r, middle
		} else {
			inner = middle
		}
	}
	return route, nil
}

// byPowder tries every powder that is not yet to be had, alone; where none
// reaches, coats that would.
func (s *reach) byPowder() ([]Route, error) {
	more, err := s.others()
	if err != nil {
		return nil, err
	}
	list, err := s.adding(more)
	if err != nil {
		return nil, err
	}
	if len(list) == 0 || !list[0].Reaches {
		coats, err := palette.CoatedFlakes(s.full.Base.Index)
		if err != nil {
			return nil, err
		}
		invented, err := s.adding(coats)
		if err != nil {
			return nil, err
		}
		for i := range invented {
			invented[i].Invented = true
		}
		// Only a coat that beats every powder on the list is worth inventing.
		if len(invented) > 0 && (len(list) == 0 || invented[0].DeltaE00 < list[0].DeltaE00-reachGain) {
			list = append(invented[:1], list...)
		}
	}
	return list[:min(len(list), reachPowders)], nil
}

// adding tries each powder on top of those in use, best first.
func (s *reach) adding(more []*palette.Pigment) ([]Route, error) {
	use, _, err := s.full.Usable()
	if err != nil {
		return nil, err
	}
	var list []Route
	for _, g := range more {
		r := s.r
		one := g
		if r.Choice.InStock > 0 && g.StockG <= 0 {
			bought := *g
			bought.StockG = math.Inf(1)
			one = &bought
		}
		r.Powders, r.Choice.Only = s.with(use, []*palette.Pigment{one})
		r.Choice.Must = append(slices.Clone(s.r.Choice.Must), g.Name)
		route, err := s.try(r)
		if err != nil {
			return nil, err
		}
		if route = s.useful(route); route != nil {
			route.Powder = g
			route.InDrawer = slices.Contains(s.r.Powders, g)
			list = append(list, *route)
		}
	}
	slices.SortStableFunc(list, func(a, b Route) int {
		switch {
		case a.DeltaE00 < b.DeltaE00-1e-9:
			return -1
		case b.DeltaE00 < a.DeltaE00-1e-9:
			return 1
		}
		return strings.Compare(a.Powder.Name, b.Powder.Name)
	})
	return list, nil
}

// with returns the drawer with some powders more, and the names of those that
// may be used: the ones in use and these.
func (s *reach) with(use, more []*palette.Pigment) (powders []*palette.Pigment, only []string) {
	replaced := map[string]bool{}
	for _, g := range more {
		replaced[strings.ToLower(g.Name)] = true
	}
	for _, g := range s.full.Powders {
		if !replaced[strings.ToLower(g.Name)] {
			powders = append(powders, g)
		}
	}
	for _, g := range slices.Concat(use, more) {
		only = append(only, g.Name)
	}
	return append(powders, more...), only
}

// others returns the powders known but not in use: those the request's own
// choices passed over, then the built-in ones of other names. Powders the
// maker left out by name, or that may not be worn there, are not offered.
func (s *reach) others() ([]*palette.Pigment, error) {
	use, _, err := s.full.Usable()
	if err != nil {
		return nil, err
	}
	if s.known == nil {
		if s.known, err = palette.Builtin(s.full.Base.Index); err != nil {
			return nil, err
		}
	}
	taken := map[string]bool{}
	for _, g := range use {
		taken[strings.ToLower(g.Name)] = true
	}
	for _, name := range s.full.Choice.Without {
		taken[strings.ToLower(strings.TrimSpace(name))] = true
	}
	var more []*palette.Pigment
	for _, g := range slices.Concat(s.full.Powders, s.known.Pigments) {
		if key := strings.ToLower(g.Name); !taken[key] && (s.full.Choice.Area == "" || g.AllowedOn(s.full.Choice.Area)) {
			taken[key] = true
			more = append(more, g)
		}
	}
	return more, nil
}

// together matches with any load and every powder known.
func (s *reach) together() (*Route, error) {
	more, err := s.others()
	if err != nil {
		return nil, err
	}
	use, _, err := s.full.Usable()
	if err != nil {
		return nil, err
	}
	r := s.r
	r.Powders, r.Choice.Only = s.with(use, more)
	r.Choice.InStock = 0
	r.LoadLo, r.LoadHi = 0, film.MaxLoad
	route, err := s.try(r)
	return s.useful(route), err
}
