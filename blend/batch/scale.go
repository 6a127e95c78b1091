package batch

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/blend/palette"
	"tawny/colour"
)

// maxSteps bounds a batch: a tonne on a 0.1 mg balance.
const maxSteps = int64(1e10)

// Scale works a request out to weights, steps, vessels, filling and cautions.
// Its errors are requests that mean nothing (no size, a negative share, a
// filler that cannot give way); what is merely wrong or unlawful comes back
// in Findings.
func Scale(req Request) (*Batch, error) {
	if err := req.check(); err != nil {
		return nil, err
	}
	if req.PH > 0 {
		req.Base.PH = Range{req.PH, req.PH}
	}
	b := &Batch{
		Title: req.Title, Code: req.Code, Date: req.Date, Look: req.Look,
		Base: req.Base.Name, Kind: req.Base.Kind, BaseNote: req.Base.Note,
		Area: req.Area, BalanceG: req.Balance.StepG(),
	}
	if b.Area == "" {
		b.Area = palette.Body
	}
	b.Notes = append(b.Notes, req.Base.Implied...)
	lines, filler, err := req.lines(b)
	if err != nil {
		return nil, err
	}
	b.DensityGML, b.BestBefore = req.density(), bestBefore(&req)
	if err := req.size(b); err != nil {
		return nil, err
	}
	if err := weigh(b, lines, filler, req.PowderGrams); err != nil {
		return nil, err
	}
	req.describe(b)
	return b, nil
}

// describe adds what follows from the weights.
func (req *Request) describe(b *Batch) {
	p := product{b, &req.Base, req}
	b.Findings = append(b.Findings, newChecker(p).run()...)
	flagSmall(b)
	b.Premixes = premixes(b)
	notePremixes(b)
	b.TopUp = topUp(&req.Base, b)
	b.Vessels = vessels(&req.Base, b)
	b.Filling = filling(req, b)
	b.Steps = workSteps(p)
	b.Powders = powderFacts(req, b)
	b.Suspension = suspension(req, b)
	b.Cautions = cautions(p)
	b.Label = label(p)
	b.Log = stabilityLog(&req.Base)
}

// check refuses requests that mean nothing.
func (req *Request) check() error {
	base := &req.Base
	if base.Kind == "" || len(base.Ingredients) == 0 {
		return errors.New("no base given; accepted: a built-in base or a base file")
	}
	if !slices.Contains(Kinds, base.Kind) {
		return fmt.Errorf("base %s: no kind %q; accepted: %s", base.Name, base.Kind, list(Kinds))
	}
	if !finite(base.Density) || base.Density <= 0 {
		return fmt.Errorf("base %s: the density is %v g/ml; accepted: over 0", base.Name, base.Density)
	}
	if base.Kind != Ready {
		for _, in := range base.Ingredients {
			if !finite(in.Percent) || in.Percent <= 0 {
				return fmt.Errorf("base %s: %s is %v %%; accepted: over 0 up to 100", base.Name, in.Name, in.Percent)
			}
		}
		if s := base.Sum(); math.Abs(s-100) > sumTolerance {
			return fmt.Errorf("base %s: the ingredients sum to %.4g %%, not 100; mend its percentages, or in a recipe write 'to 100' for what fills up", base.Name, s)
		}
	}
	for i, p := range req.Parts {
		if p.Pigment == nil {
			return fmt.Errorf("part %d has no powder", i+1)
		}
		if !finite(p.Percent) || p.Percent <= 0 || p.Percent >= 100 {
			return fmt.Errorf("powder %s is %v %%; accepted: over 0 and under 100", p.Pigment.Name, p.Percent)
		}
		for _, q := range req.Parts[:i] {
			if q.Pigment != nil && q.Pigment.Name == p.Pigment.Name {
				return fmt.Errorf("powder %s is in the blend twice; accepted: each powder once", p.Pigment.Name)
			}
		}
		if size, name := tooCoarse(p.Pigment); name != "" { // whatever the base
			return fmt.Errorf("powder %s has %s %.4g µm; over %d µm is outside the fineness of the mica colour additive (%s), so it is refused for cosmetics", p.Pigment.Name, name, size, fineness, finenessSource)
		}
	}
	if req.PowderGrams != nil && len(req.PowderGrams) != len(req.Parts) {
		return fmt.Errorf("%d weights for %d powders; accepted: one a powder", len(req.PowderGrams), len(req.Parts))
	}
	if req.Scent != nil {
		if err := req.Scent.Check(); err != nil {
			return err
		}
	}
	for _, v := range []struct {
		name   string
		v      float64
		lo, hi float64
	}{
		{"the overfill", req.OverfillPercent, 0, 50}, {"the loss", req.LossPercent, 0, 50},
		{"the nozzle", req.NozzleUM, 0, 5000},
	} {
		if !finite(v.v) || v.v < v.lo || v.v > v.hi {
			return fmt.Errorf("%s is %v; accepted: %v to %v", v.name, v.v, v.lo, v.hi)
		}
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// sumTolerance is how far from 100 % a base's sum may be: what rounding each
// ingredient to 0.01 % can do to a score of them.
const sumTolerance = 0.1

// lines lists what is weighed, with the filler giving way to all additions.
// The filler's index is -1 where the whole base gives way.
func (req *Request) lines(b *Batch) ([]Weighing, int, error) {
	base := &req.Base
	var lines []Weighing
	var filler int
	if base.Kind == Ready {
		lines = append(lines, Weighing{Phase: PhaseBase, Name: base.Name, INCI: readyINCI(base), Filler: true})
	} else {
		for _, in := range base.Ingredients {
			lines = append(lines, lineOf(in))
		}
		if filler = base.filler(req.Filler); filler >= 0 {
			lines[filler].Filler = true
		} else if req.Filler != "" {
			var names []string
			for _, in := range base.Ingredients {
				names = append(names, in.Name)
			}
			return nil, 0, fmt.Errorf("base %s has no ingredient %q to give way; nearest is %q", base.Name, req.Filler, colour.Nearest(req.Filler, names))
		}
	}
	own := len(lines)
	req.addWetting(b, lines)
	if s := req.Scent; s != nil {
		lines = append(lines, Weighing{Phase: PhaseCool, Name: s.Called(), INCI: "Parfum", Percent: s.Percent, Roles: []Role{RoleScent}, AddBelowC: scentRole.AddBelowC, most: s.MaxPercent})
	}
	added := 0.0
	for _, l := range lines[own:] {
		added += l.Percent
	}
	for _, p := range req.Parts {
		lines = append(lines, powderLine(p))
		added += p.Percent
		b.AskedLoad += p.Percent
	}
	if err := giveWay(base, lines[:own], filler, added); err != nil {
		return nil, 0, err
	}
	if filler < 0 && added > 0 {
		b.Notes = append(b.Notes, fmt.Sprintf("%s names no filler, so all its ingredients give way together and its preservative is diluted to %.3g %% of what it was.", base.Name, 100-added))
	}
	return lines, filler, nil
}

func lineOf(in Ingredient) Weighing {
	if in.INCI == "" {
		in.INCI = in.Name
	}
	return Weighing{Phase: in.Phase, Name: in.Name, INCI: in.INCI, Percent: in.Percent, Roles: in.Roles, AddBelowC: in.AddBelowC,
		usual: in.Usual, usualOf: in.UsualOf, hlb: in.HLB, subs: in.Substances()}
}

func powderLine(p Part) Weighing {
	var names []string
	for _, in := range p.Pigment.INCI {
		names = append(names, in.INCI)
	}
	return Weighing{Phase: PhasePowder, Name: p.Pigment.Name, INCI: strings.Join(names, ";"), Percent: p.Percent,
		Lot: p.Pigment.Lot, Powder: true, pigment: p.Pigment, subs: p.Pigment.INCI}
}

func readyINCI(base *Base) string {
	var names []string
	for _, in := range base.Ingredients {
		names = append(names, in.INCI)
	}
	return strings.Join(names, ";")
}

// giveWay lowers the filler (or, with none, the whole base) so that base and
// additions are 100 %.
func giveWay(base *Base, own []Weighing, filler int, added float64) error {
	if filler < 0 {
		if added >= 100 {
			return fmt.Errorf("the additions are %.4g %%; nothing is left of the base", added)
		}
		sum := 0.0
		for _, l := range own {
			sum += l.Percent
		}
		for i := range own {
			own[i].Percent *= (100 - added) / sum
		}
		return nil
	}
	left := 100 - added
	for i, l := range own {
		if i != filler {
			left -= l.Percent
		}
	}
	if left <= 0 {
		return fmt.Errorf("base %s: %s cannot give way to %.4g %% of additions; name a larger filler or lower the load", base.Name, own[filler].Name, added)
	}
	if added > 0 && base.Kind != Ready {
		own[filler].Note = fmt.Sprintf("%s %% in the base, less what is added", percentText(own[filler].Percent))
	}
	own[filler].Percent = left
	return nil
}

// density is the finished product's, g/ml: volumes add, the powders' taken
// from their solid density.
func (req *Request) density() float64 {
	rest, vol := 1.0, 0.0
	for _, p := range req.Parts {
		if p.Pigment.Density > 0 {
			w := p.Percent / 100
			rest -= w
			vol += w / p.Pigment.Density
		}
	}
	return 1 / (rest/req.Base.Density + vol)
}

// TotalG is the size of the batch, g, what is filled, kept and left on the tools
// with it.
func (req Request) TotalG() (float64, error) {
	if err := req.check(); err != nil {
		return 0, err
	}
	b := &Batch{BalanceG: req.Balance.StepG(), DensityGML: req.density()}
	err := req.size(b)
	return b.TotalG, err
}

// size fills in the batch's total, in balance steps.
func (req *Request) size(b *Batch) error {
	step := b.balance().StepG()
	byGrams, byFill := req.Grams != 0, req.Containers != 0 || req.ContainerML != 0
	var steps float64
	switch {
	case byGrams && byFill:
		return errors.New("both grams and containers are given; accepted: one or the other")
	case byGrams:
		if !finite(req.Grams) || req.Grams < 0 {
			return fmt.Errorf("the batch is %v g; accepted: over 0", req.Grams)
		}
		steps = math.Round(req.Grams / step)
		if math.Abs(req.Grams/step-steps) > 1e-6 {
			b.Notes = append(b.Notes, fmt.Sprintf("%v g is not a weight this balance shows; the batch is %v g.", req.Grams, b.balance().Grams(int64(steps))))
		}
	case byFill:
		if req.Containers < 1 || !finite(req.ContainerML) || req.ContainerML <= 0 {
			return fmt.Errorf("%d containers of %v ml; accepted: at least one, of more than 0 ml", req.Containers, req.ContainerML)
		}
		fill := float64(req.Containers) * req.fillG(b)
		if req.Samples != nil {
			fill += float64(*req.Samples)*req.fillG(b) + req.jarsG(b)
		}
		need := fill / (1 - req.LossPercent/100)
		steps = math.Ceil(need/step - 1e-9)
	default:
		return errors.New("no batch size; accepted: grams, or containers and their ml")
	}
	if steps < 1 || steps > float64(maxSteps) {
		return fmt.Errorf("a batch of %.4g steps of %v g; accepted: 1 to %d steps", steps, step, maxSteps)
	}
	b.TotalSteps = int64(steps)
	b.TotalG = b.balance().Grams(b.TotalSteps)
	return nil
}

// fillG is what goes into one container, g.
func (req *Request) fillG(b *Batch) float64 {
	return req.ContainerML * b.DensityGML * (1 + req.OverfillPercent/100)
}
