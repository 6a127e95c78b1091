package search

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// MostPowders is the most a blend may have.
const MostPowders = 4

// DefaultApply is about what people put on, mg/cm² (Stenberg and Larkö 1985).
const DefaultApply = 1.0

// Request is one matching job, in the units a maker thinks in.
type Request struct {
	Ground film.Ground // the bare skin
	// Geometry is the one the targets were read in and blends are compared in;
	// "" is the ground's.
	Geometry colour.Geometry
	Targets  []Goal             // what to approach; the first is the colour reported against
	Bands    *BandGoal          // a reflectance to match instead of or beside the colours
	Powders  []*palette.Pigment // the drawer, optics computed
	Choice   Choice

	LoadLo, LoadHi float64 // % w/w of all colourants; equal for an exact load
	Apply          float64 // mg/cm² of product on skin; 0 means DefaultApply
	Tilt           float64 // degrees, spread of the flakes' tilt; 0 means that of the coverage
	SurfaceShare   float64 // of Tilt, what the film's surface tilts with the flakes, 0 to 0.8; 0 is flat
	Base           film.Base

	Light, Second *colour.Viewing // reported under, and against; nil means D65/2 and the stage lantern
	Most          int             // powders in a blend; 0 means 3
	Keep          int             // blends wanted; 0 means 5
	// Equal is the ΔE00 below which blends count as equal; 0 means EqualDeltaE
	// or, where a balance is given and errs by more, its weighing error.
	Equal       float64
	BatchGrams  float64  // g of product to be made, for the weighing error and the least weight; 0 for none
	BalanceStep float64  // g, the balance's readability, for the same
	MustWeigh   bool     // powders of less than LeastSteps are never worth it: no premix helps
	Shimmer     *Shimmer // what is wanted beside the shade; nil for the shade alone
	Family      string   // of powder asked for by its word: blends that gleam in its colour come first, without a shimmer of equal ones those of most flakes of it
	KeepRules   bool     // however far off that leaves the nearest
	Looks       bool     // list only blends that look different, the others folded under them
	ShowTwins   bool     // with Looks: keep some of those folded
	Workers     int      // 0 means one a processor; results do not depend on it
	Progress    func(done float64)
	Memory      *Memory // of requests for the same powders that follow one another; nil for one of its own

	every bool // no subset is given up
}

// Goal is one colour to approach: seen at a direction, under a light.
type Goal struct {
	Lab     colour.Lab
	Viewing *colour.Viewing // nil means the request's Light
	// Aspecular is 0 for the diffuse colour, else one of the Aspecular
	// directions in degrees.
	Aspecular float64
	Weight    float64 // 0 means 1
	// Offset is added to what the model says before it is compared, where a
	// reading has shown the model to be off.
	Offset colour.Lab
}

// BandGoal is a reflectance factor to match over the bands.
type BandGoal struct {
	Reflectance colour.Spectrum
	Weight      float64 // of the mean squared difference in per cent; 0 means 1
}

// Choice is what a maker wants of the powders.
type Choice struct {
	Must    []string         // in every blend, with MustPercent or more
	Without []string         // in none
	Only    []string         // if any are named, no others
	Limits  map[string]Limit // per powder name
	Area    palette.Area     // worn here: only powders allowed there; "" for no check
	// InStock keeps each powder to its grams on hand for a batch of this many
	// grams; 0 for no check.
	InStock float64
	// CostPer100 is the most the powders of 100 g may cost; 0 for no ceiling.
	CostPer100 float64
}

// Limit bounds one powder, in per cent w/w of the product. A powder with an
// AtLeast over 0 is in every blend.
type Limit struct {
	AtLeast float64
	AtMost  float64 // 0 means no limit
}

// MustPercent is the least of a powder that must be used, in % w/w of the
// product, where the maker names no amount; at a low load a twentieth of it. A
// powder nobody could weigh or see has not been used. A convention of this
// tool.
const MustPercent = 0.1

// EqualDeltaE is the difference below which two blends count as equally good:
// 0.3 is under what practised eyes see side by side (common practice puts a
// just visible difference near 1), and under what a kitchen balance repeats.
const EqualDeltaE = 0.3

// WithDefaults returns the request with its defaults taken, checked.
func (r Request) WithDefaults() (Request, error) {
	if r.Apply == 0 {
		r.Apply = DefaultApply
	}
	if r.Light == nil {
		r.Light = colour.D65
	}
	if r.Second == nil {
		r.Second = film.StageView()
	}
	if r.Most == 0 {
		r.Most = 3
	}
	if r.Keep == 0 {
		r.Keep = 5
	}
	if r.Equal == 0 {
		r.Equal = EqualDeltaE
	}
	if r.Base.Index == 0 {
		r.Base.Index = film.DefaultIndex
	}
	if r.Tilt == 0 {
		r.Tilt = film.TiltFor(r.Apply)
	}
	if r.Memory == nil {
		r.Memory = new(Memory)
	}
	if r.Geometry == "" {
		r.Geometry = r.Ground.Geometry.Assumed()
	}
	// Written so that NaN fails each of them.
	switch {
	case !(r.LoadLo >= 0 && r.LoadHi > 0 && r.LoadLo <= r.LoadHi && r.LoadHi <= film.MaxLoad):
		return r, fmt.Errorf("load %g to %g %% w/w; more than 0 and at most %g is accepted", r.LoadLo, r.LoadHi, film.MaxLoad)
	case !(r.Apply > 0 && r.Apply <= film.MaxApply):
		return r, fmt.Errorf("application %g mg/cm²; more than 0 and at most %g is accepted", r.Apply, film.MaxApply)
	case !(r.Tilt >= film.LeastTilt && r.Tilt <= film.MostTilt):
		return r, fmt.Errorf("flake tilt %g degrees; %d to %d is accepted", r.Tilt, film.LeastTilt, film.MostTilt)
	case r.Most < 1 || r.Most > MostPowders:
		return r, fmt.Errorf("%d powders in a blend; 1 to %d is accepted", r.Most, MostPowders)
	case r.Keep < 1:
		return r, fmt.Errorf("%d blends wanted; at least 1 is accepted", r.Keep)
	case len(r.Targets) == 0:
		return r, fmt.Errorf("no target; at least one colour is needed")
	}
	if !(r.BatchGrams >= 0 && r.BalanceStep >= 0) || math.IsInf(r.BatchGrams, 0) || math.IsInf(r.BalanceStep, 0) {
		return r, fmt.Errorf("batch of %g g on a balance of %g g steps; amounts over 0, or 0 for none, are accepted", r.BatchGrams, r.BalanceStep)
	}
	if !(r.Equal > 0) || math.IsInf(r.Equal, 0) {
		return r, fmt.Errorf("equal within ΔE00 %g; more than 0 is accepted", r.Equal)
	}
	if c := r.Choice; !(c.InStock >= 0 && c.CostPer100 >= 0) {
		return r, fmt.Errorf("in stock for a batch of %g g, powders of 100 g at most %g; 0, for no check, or more is accepted", c.InStock, c.CostPer100)
	}
	if r.Shimmer != nil {
		if err := r.Shimmer.check(); err != nil {
			return r, err
		}
	}
	for _, g := range r.Targets {
		if !(g.Weight >= 0) || math.IsInf(g.Weight, 0) {
			return r, fmt.Errorf("target weight %g; 0 or more is accepted", g.Weight)
		}
		if !g.Lab.Finite() {
			return r, fmt.Errorf("target L*a*b* (%g, %g, %g); finite numbers are accepted", g.Lab.L, g.Lab.A, g.Lab.B)
		}
	}
	return r, nil
}

// Usable returns the powders a request may use and which of them are in every
// blend.
func (r *Request) Usable() (use []*palette.Pigment, must []bool, err error) {
	all := &palette.Drawer{Pigments: r.Powders}
	named := func(names []string) (map[*palette.Pigment]bool, error) {
		set := map[*palette.Pigment]bool{}
		for _, n := range names {
			g, err := all.Find(n)
			if err != nil {
				return nil, err
			}
			set[g] = true
		}
		return set, nil
	}
	only, err := named(r.Choice.Only)
	if err != nil {
		return nil, nil, err
	}
	without, err := named(r.Choice.Without)
	if err != nil {
		return nil, nil, err
	}
	wanted, err := named(r.Choice.Must)
	if err != nil {
		return nil, nil, err
	}
	for name, l := range r.Choice.Limits {
		g, err := all.Find(name)
		if err != nil {
			return nil, nil, err
		}
		if !(l.AtLeast >= 0 && l.AtMost >= 0 && (l.AtMost == 0 || l.AtLeast <= l.AtMost)) {
			return nil, nil, fmt.Errorf("powder %q: at least %g %% and at most %g %%; 0 ≤ at least ≤ at most is accepted", name, l.AtLeast, l.AtMost)
		}
		if l.AtLeast > 0 {
			wanted[g] = true
		}
	}
	// Sorted, so that the answer does not depend on the drawer's order.
	sorted := append([]*palette.Pigment(nil), r.Powders...)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Name < sorted[j].Name })
	for _, g := range sorted {
		allowed := r.Choice.Area == "" || g.AllowedOn(r.Choice.Area)
		switch {
		case wanted[g] && without[g]:
			return nil, nil, fmt.Errorf("powder %q is both required and left out", g.Name)
		case wanted[g] && !allowed:
			return nil, nil, fmt.Errorf("powder %q is required but not allowed on %s", g.Name, r.Choice.Area)
		case wanted[g] && r.Choice.InStock > 0 && g.StockG <= 0:
			return nil, nil, fmt.Errorf("powder %q is required but none is in stock", g.Name)
		}
		if without[g] || len(only) > 0 && !only[g] && !wanted[g] || !allowed || r.Choice.InStock > 0 && g.StockG <= 0 {
			continue
		}
		use = append(use, g)
		must = append(must, wanted[g])
	}
	if len(use) == 0 {
		return nil, nil, fmt.Errorf("no powder is left to choose from after only, without, area and stock")
	}
	if n := len(wanted); n > r.Most {
		return nil, nil, fmt.Errorf("%d powders are required but a blend may have only %d", n, r.Most)
	}
	return use, must, nil
}

// Limit returns what bounds a powder of that name, letter case ignored.
func (o *Choice) Limit(name string) Limit {
	for written, l := range o.Limits {
		if sameName(written, name) {
			return l
		}
	}
	return Limit{}
}

// sameName reports whether a name a maker wrote is a powder's.
func sameName(written, name string) bool { return strings.EqualFold(strings.TrimSpace(written), name) }

// limits returns the share bounds of a powder under the request's choices.
func (r *Request) limits(g *palette.Pigment, must bool) (lo, hi float64) {
	most := r.LoadHi
	if must {
		lo = math.Min(MustPercent/r.LoadHi, 0.05)
	}
	l := r.Choice.Limit(g.Name)
	if l.AtLeast > 0 {
		lo = l.AtLeast / r.LoadHi
	}
	if l.AtMost > 0 {
		most = math.Min(most, l.AtMost)
		if l.AtLeast == 0 {
			lo = math.Min(lo, l.AtMost/r.LoadHi)
		}
	}
	if r.Choice.InStock > 0 {
		most = math.Min(most, 100*g.StockG/r.Choice.InStock)
	}
	return lo, most / r.LoadHi
}

// Distance is the ΔE00 that an objective of the request stands for: of several
// goals the root of their weighted mean square.
func (r *Request) Distance(objective float64) float64 { return math.Sqrt(objective / r.weight()) }

// weight is the sum of what the goals weigh.
func (r *Request) weight() float64 {
	sum := 0.0
	for _, g := range r.Targets {
		sum += orOne(g.Weight)
	}
	if r.Bands != nil {
		sum += orOne(r.Bands.Weight)
	}
	return sum
}

// orOne takes a weight of 0 as 1.
func orOne(weight float64) float64 {
	if weight == 0 {
		return 1
	}
	return weight
}
