package mend

import (
	"cmp"
	"context"
	"errors"
	"fmt"
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
	Reaches     bool             `json:"reaches"`            // within the report's Within
	LoadPercent float64          `json:"loadPercent"`        // % w/w, the blend's
	Apply       float64          `json:"applyMgCm2"`         // of product
	Powder      *palette.Pigment `json:"powder,omitempty"`   // the powder to add; nil for none
	InDrawer    bool             `json:"inDrawer,omitempty"` // the powder is among the request's, but its choices left it out
	Invented    bool             `json:"invented,omitempty"` // no listed powder but a coat that would do, modelled
	DeltaE00    float64          `json:"deltaE00"`           // what the nearest blend then has, √f where there are several goals
	Blend       search.Blend     `json:"-"`
	Cost        float64          `json:"powderCostPer100"`
	Lacks       []string         `json:"lacks,omitempty"` // what it has not of the shimmer asked for
	Words       string           `json:"words"`

	// WeighUp tells these.
	Caution  string `json:"caution,omitempty"`  // where the load is not usual for the kind of product
	Cheapest bool   `json:"cheapest,omitempty"` // of those that reach, the one whose powders cost least on the skin
}

// ReachReport says how far a target is out of reach and what would reach it.
// Every route is a match of its own; none is a guess.
type ReachReport struct {
	Within  float64        `json:"withinDeltaE00"` // ΔE00 that counts as reached
	Reached bool           `json:"-"`              // the nearest blend is within it already
	Nearest search.Blend   `json:"-"`
	Missing colour.Missing `json:"missing"`         // from the nearest blend to the first target
	Lacks   []string       `json:"lacks,omitempty"` // what the first blend has not of the shimmer asked for

	// The least change of load, or of coverage, that reaches the target, or
	// else the one that comes nearest; nil where none comes nearer.
	Load     *Route `json:"load,omitempty"`
	Coverage *Route `json:"coverage,omitempty"`
	// Powders that would help, the best first, one more in the drawer each.
	Powders []Route `json:"powders,omitempty"`
	// Together is the nearest with any load and every powder known, where no
	// one change reaches.
	Together *Route `json:"together,omitempty"`
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
// or further powder would reach it. res is the request's own result; its Progress is
// told how much of the work known of so far is done.
func Reach(ctx context.Context, r search.Request, res *search.Result) (*ReachReport, error) {
	if res == nil || len(res.Blends) == 0 {
		return nil, errors.New("there is no blend to start from; match first")
	}
	d, err := r.WithDefaults()
	if err != nil {
		return nil, err
	}
	s := &reach{ctx: ctx, r: r, full: d, within: math.Max(res.Request.Equal, search.EqualDeltaE)}
	s.r.Keep, s.r.Equal, s.r.Looks, s.r.Progress, s.r.Memory = 1, 1e-9, d.Family != "", nil, new(search.Memory) // nearest first
	nearest := slices.MinFunc(slices.Concat(res.Blends, res.Front), func(a, b search.Blend) int { return cmp.Compare(a.Objective, b.Objective) })
	s.now = d.Distance(nearest.Objective)
	report := &ReachReport{
		Within: s.within, Nearest: nearest, Reached: s.now <= s.within,
		Missing: colour.MissingOf(nearest.Lab, d.Targets[0].Lab), Lacks: s.lacks(&res.Blends[0]),
	}
	if report.Reached {
		return report, nil
	}
	if s.use, _, err = d.Usable(); err != nil {
		return nil, err
	}
	if err = s.others(); err != nil {
		return nil, err
	}
	s.tell, s.searches = r.Progress, 2*(1+reachHalvings)+reachApplies+reachHalvings+len(s.more)
	if report.Load, err = s.byLoad(); err != nil {
		return nil, err
	}
	if report.Coverage, err = s.byCoverage(); err != nil {
		return nil, err
	}
	if r := report.Load; r != nil {
		r.Words = fmt.Sprintf("a load of %.3g %%", r.LoadPercent)
	}
	if r := report.Coverage; r != nil {
		r.Words = fmt.Sprintf("worn at %.3g mg/cm²", r.Apply)
	}
	if report.Powders, err = s.byPowder(); err != nil {
		return nil, err
	}
	// All of it at once is worth telling only where it beats one change.
	singles := []*Route{report.Load, report.Coverage}
	if len(report.Powders) > 0 {
		singles = append(singles, &report.Powders[0])
	}
	for _, single := range singles {
		if single == nil {
			continue
		}
		if single.Reaches {
			return report, nil
		}
		s.now = math.Min(s.now, single.DeltaE00)
	}
	report.Together, err = s.together()
	return report, err
}

type reach struct {
	ctx    context.Context
	r      search.Request // asking for the nearest blend only
	full   search.Request // with defaults taken
	use    []*palette.Pigment
	more   []*palette.Pigment // known but not in use
	within float64
	now    float64 // the nearest blend's difference

	tell            func(done float64) // or nil
	tried, searches int                // matches, and as many as there may be
}

// try matches a changed request; nil where it has no answer.
func (s *reach) try(r search.Request) (*Route, error) {
	res, err := search.Match(s.ctx, r)
	if s.ctx.Err() != nil {
		return nil, s.ctx.Err()
	}
	if s.tried++; s.tell != nil {
		s.tell(math.Min(1, float64(s.tried)/float64(s.searches)))
	}
	if err != nil {
		return nil, nil // such a load or limit has no blend: not a route
	}
	// The look asked for first, unless the shade is reached only without.
	b := res.Blends[0]
	d := s.full.Distance(b.Objective)
	for _, other := range res.Front {
		if off := s.full.Distance(other.Objective); d > s.within && off <= s.within {
			b, d = other, off
		}
	}
	return &Route{
		Reaches: d <= s.within, LoadPercent: b.LoadPercent, Apply: res.Request.Apply, DeltaE00: d, Blend: b,
		Cost: b.CostPer100, Lacks: s.lacks(&b),
	}, nil
}

// lacks tells what of the shimmer and the look asked for a blend has not.
func (s *reach) lacks(b *search.Blend) []string {
	list := s.full.Shimmer.Lacks(b.Look)
	if s.full.Family != "" && !b.Look.Is(s.full.Family) {
		list = append(list, "the look ("+b.Look.Name+")")
	}
	return list
}

// useful passes a route on if it gains anything.
func (s *reach) useful(route *Route) *Route {
	if route == nil || !route.Reaches && route.DeltaE00 > s.now-reachGain {
		return nil
	}
	return route
}

// best is the route that reaches by the least change, or else comes nearest; nil
// of none.
func best(list []*Route, change func(*Route) float64) *Route {
	list = slices.DeleteFunc(list, func(r *Route) bool { return r == nil })
	if len(list) == 0 {
		return nil
	}
	return slices.MinFunc(list, func(a, b *Route) int {
		switch {
		case a.Reaches && b.Reaches:
			return cmp.Compare(change(a), change(b))
		case a.Reaches:
			return -1
		case b.Reaches:
			return 1
		}
		return cmp.Compare(a.DeltaE00, b.DeltaE00)
	})
}

// byLoad finds the load nearest the asked one that reaches. The more loads are
// allowed the nearer the best of them, so halving finds the least widening.
func (s *reach) byLoad() (*Route, error) {
	more := func(load float64) (*Route, error) {
		r := s.r
		r.LoadHi = load
		return s.try(r)
	}
	fewer := func(load float64) (*Route, error) {
		r := s.r
		r.LoadLo = load
		return s.try(r)
	}
	var list []*Route
	for _, way := range []struct {
		inner, outer float64
		try          func(float64) (*Route, error)
	}{{s.r.LoadHi, film.MaxLoad, more}, {s.r.LoadLo, 0, fewer}} {
		if way.inner == way.outer {
			continue
		}
		route, err := way.try(way.outer)
		if err == nil && route != nil && route.Reaches {
			route, err = nearer(route, way.inner, way.outer, way.try)
		}
		if err != nil {
			return nil, err
		}
		list = append(list, route)
	}
	outside := func(r *Route) float64 { return math.Max(r.LoadPercent-s.r.LoadHi, s.r.LoadLo-r.LoadPercent) }
	return s.useful(best(list, outside)), nil
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
	var list []*Route
	step := math.Pow(reachMostApply/reachLeastApply, 1.0/(reachApplies-1))
	for i := range reachApplies {
		route, err := at(reachLeastApply * math.Pow(step, float64(i)))
		if err != nil {
			return nil, err
		}
		list = append(list, route)
	}
	b := best(list, func(r *Route) float64 { return math.Abs(math.Log(r.Apply / asked)) })
	if b == nil || !b.Reaches {
		return s.useful(b), nil
	}
	return nearer(b, math.Log(asked), math.Log(b.Apply), func(x float64) (*Route, error) { return at(math.Exp(x)) })
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
	list, err := s.adding(s.more)
	if err != nil {
		return nil, err
	}
	if len(list) == 0 || !list[0].Reaches {
		coats, err := palette.CoatedFlakes(s.full.Base.Index)
		if err != nil {
			return nil, err
		}
		s.searches += len(coats)
		invented, err := s.adding(coats)
		if err != nil {
			return nil, err
		}
		for i := range invented {
			invented[i].Invented = true
			invented[i].Words = "a powder like this modelled one: " + invented[i].Powder.Name
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
	var list []Route
	for _, g := range more {
		r := s.r
		one := g
		if r.Choice.InStock > 0 && g.StockG <= 0 {
			bought := *g
			bought.StockG = math.Inf(1)
			one = &bought
		}
		r.Powders, r.Choice.Only = s.with([]*palette.Pigment{one})
		r.Choice.Must = append(slices.Clone(s.r.Choice.Must), g.Name)
		route, err := s.try(r)
		if err != nil {
			return nil, err
		}
		if route = s.useful(route); route != nil {
			route.Powder = g
			route.Words = g.Name + " from the built-in drawer"
			if route.InDrawer = slices.Contains(s.r.Powders, g); route.InDrawer {
				route.Words = g.Name + ", which was left out"
			}
			list = append(list, *route)
		}
	}
	slices.SortStableFunc(list, func(a, b Route) int {
		if math.Abs(a.DeltaE00-b.DeltaE00) > 1e-9 {
			return cmp.Compare(a.DeltaE00, b.DeltaE00)
		}
		return strings.Compare(a.Powder.Name, b.Powder.Name)
	})
	return list, nil
}

// with returns the drawer with some powders more, and the names of those that
// may be used: the ones in use and these.
func (s *reach) with(more []*palette.Pigment) (powders []*palette.Pigment, only []string) {
	for _, g := range s.full.Powders {
		if !slices.ContainsFunc(more, func(h *palette.Pigment) bool { return strings.EqualFold(g.Name, h.Name) }) {
			powders = append(powders, g)
		}
	}
	for _, g := range slices.Concat(s.use, more) {
		only = append(only, g.Name)
	}
	return append(powders, more...), only
}

// others finds the powders known but not in use: those the request's own choices
// passed over, then the built-in ones of other names. Powders the maker left out
// by name, or that may not be worn there, are not offered.
func (s *reach) others() error {
	known, err := palette.Builtin(s.full.Base.Index)
	if err != nil {
		return err
	}
	taken := map[string]bool{}
	for _, g := range s.use {
		taken[strings.ToLower(g.Name)] = true
	}
	for _, name := range s.full.Choice.Without {
		taken[strings.ToLower(strings.TrimSpace(name))] = true
	}
	for _, g := range slices.Concat(s.full.Powders, known.Pigments) {
		if key := strings.ToLower(g.Name); !taken[key] && (s.full.Choice.Area == "" || g.AllowedOn(s.full.Choice.Area)) {
			taken[key] = true
			s.more = append(s.more, g)
		}
	}
	return nil
}

// together matches with any load and every powder known.
func (s *reach) together() (*Route, error) {
	r := s.r
	r.Powders, r.Choice.Only = s.with(s.more)
	r.Choice.InStock = 0
	r.LoadLo, r.LoadHi = 0, film.MaxLoad
	route, err := s.try(r)
	if route = s.useful(route); route != nil {
		var names []string
		for _, p := range route.Blend.Parts {
			names = append(names, p.Pigment.Name)
		}
		route.Words = fmt.Sprintf("any load and every powder known: %.3g %% of %s", route.LoadPercent, strings.Join(names, ", "))
	}
	return route, err
}

// WeighUp adds a caution where a load, % w/w, is not from low to high, as is usual in
// such a product, and says which route costs least: of those that reach the target
// without a caution and with the shimmer asked for, if there is one.
func (r *ReachReport) WeighUp(low, high float64, product string) {
	routes := []*Route{r.Load, r.Coverage, r.Together}
	for i := range r.Powders {
		routes = append(routes, &r.Powders[i])
	}
	var best *Route
	for _, r := range routes {
		if r == nil {
			continue
		}
		if r.LoadPercent < low-1e-9 || r.LoadPercent > high+1e-9 {
			r.Caution = fmt.Sprintf("%.3g %% is outside the %g to %g %% that is usual in a %s: it may not stay suspended, or feel and spread as it should; make a small test batch", r.LoadPercent, low, high, product)
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
func (r *Route) calm() bool { return r.Caution == "" && len(r.Lacks) == 0 }
