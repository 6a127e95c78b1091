package search

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/blend/film"
	"tawny/blend/palette"
)

// rules are what an answer keeps unless the best answer that keeps them is
// farther from the target than a rule is worth.
type rules struct {
	steps bool // every powder weighs LeastSteps of the balance at the batch size, or is left out
	hues  bool // no green, blue, violet or black powder that was not asked for
	// ordinary is the most of the load that is ordinary pigment; 0 for any.
	ordinary float64
}

// LeastSteps of the balance are the least a powder is weighed as: an error of
// half a step is then a tenth of it (a convention of this tool; 20 steps are
// common practice, and fewer are told on the sheet).
const LeastSteps = 5

// OrdinaryShare is the most of a shimmer's load that is ordinary pigment: with
// more it is a paint with flakes in it (a convention of this tool).
const OrdinaryShare = 1.0 / 3

// FlakeShare is the least of a shimmer's load that is flakes wherever there is a
// blend with so much.
const FlakeShare = 1.0 / 3

// RuleWorth is how much nearer, in ΔE00, the best answer must come by setting a
// rule aside.
const RuleWorth = 1.0

// ruled returns the rules that bear on a request that has its defaults.
func (r *Request) ruled() rules {
	q := rules{steps: r.leastShare() > 0}
	if r.Shimmer != nil {
		q.hues, q.ordinary = true, OrdinaryShare
	}
	return q
}

// leastShare is LeastSteps of the balance as a share of the largest load.
func (r *Request) leastShare() float64 {
	if !(r.BatchGrams > 0) {
		return 0
	}
	return LeastSteps * r.BalanceStep / r.BatchGrams * 100 / r.LoadHi
}

// oddHues are the families, and the colour index numbers of ordinary pigments,
// that turn skin green, blue or violet.
var oddHues = []string{"green", "blue", "violet", "CI 77288", "CI 77289", "CI 77007", "CI 77510", "CI 77742"}

// OddHue reports whether a powder is green, blue or violet.
func OddHue(g *palette.Pigment) bool {
	return slices.Contains(oddHues, strings.ToLower(g.Family)) || slices.ContainsFunc(g.CI, func(ci string) bool { return slices.Contains(oddHues, ci) })
}

// blacks are the colour index numbers of black pigments, which put a shimmer's light
// out with its shade.
var blacks = []string{"CI 77499", "CI 77266", "CI 77267", "CI 77268"}

// Unasked reports whether a powder is green, blue or violet and not asked for by
// name.
func (r *Request) Unasked(g *palette.Pigment) bool { return OddHue(g) && !r.named(g) }

// spared reports whether a shimmer does without a powder where it can.
func (r *Request) spared(g *palette.Pigment) bool {
	black := ordinary(g) && len(g.CI) > 0 && !slices.ContainsFunc(g.CI, func(ci string) bool { return !slices.Contains(blacks, ci) })
	return (OddHue(g) || black && r.Shimmer != nil && r.Shimmer.SpareBlack) && !r.named(g)
}

// named reports whether a powder was asked for by name.
func (r *Request) named(g *palette.Pigment) bool {
	return slices.ContainsFunc(slices.Concat(r.Choice.Only, r.Choice.Must), func(name string) bool { return sameName(name, g.Name) })
}

// Unlike says what a blend does against a rule, and how far off the nearest is
// that does not, ΔE00.
func Unlike(said []string, without float64) string {
	return fmt.Sprintf("%s: without, the nearest would be ΔE00 %.1f off", strings.Join(said, ", "), without)
}

// ordinary reports whether a powder has no flakes.
func ordinary(g *palette.Pigment) bool { return !g.Optics.Flake }

// leave takes out of use what the rules do not let in.
func (q rules) leave(r *Request, use []*palette.Pigment, must []bool) (kept []*palette.Pigment, keptMust []bool) {
	for i, g := range use {
		if q.hues && !must[i] && r.spared(g) {
			continue
		}
		if q.steps && !must[i] {
			if _, hi := r.limits(g, false); hi < r.leastShare() {
				continue
			}
		}
		kept, keptMust = append(kept, g), append(keptMust, must[i])
	}
	return kept, keptMust
}

// bind puts the rules into a problem's bounds.
func (q rules) bind(r *Request, p *problem, use []*palette.Pigment) {
	limits := q.ordinary > 0 && math.IsInf(p.limitHi, 1) // a ceiling on cost goes first
	for i, g := range use {
		u := &p.powders[i]
		if q.steps {
			u.lo = math.Max(u.lo, math.Min(r.leastShare(), u.hi))
		}
		if !limits {
			continue
		}
		// Of the load there is, not of the largest: what is over its share is made
		// up for by the others.
		u.limited = -q.ordinary
		if ordinary(g) {
			u.limited++
		}
	}
	if limits {
		p.limitHi = 0
	}
}

// settleRuled settles a request by the strictest rules that are worth keeping.
func (r *Request) settleRuled(ctx context.Context) (*ranker, error) {
	all := r.ruled()
	best, err := r.settleWhole(ctx, all, r.Progress)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	strict := math.Inf(1)
	if err == nil {
		strict = best.nearest()
	}
	none := rules{steps: all.steps && r.MustWeigh}
	if all == none || strict <= RuleWorth || r.KeepRules && err == nil {
		return best, err
	}
	if r.Shimmer != nil {
		none.ordinary = 1 - FlakeShare
	}
	free, err2 := r.probe(ctx, none, best, strict)
	if free == nil && err2 == nil {
		return best, err
	}
	if err2 != nil && none.ordinary > 0 && ctx.Err() == nil {
		none.ordinary = 0
		free, err2 = r.settleWhole(ctx, none, nil)
	}
	if err2 != nil {
		return nil, err2 // what does not go without rules does not go with them
	}
	if strict-free.nearest() <= RuleWorth {
		return best, err
	}
	// Something is worth setting aside: one rule if that will do, else all.
	for _, q := range []rules{{all.steps, false, all.ordinary}, {all.steps, all.hues, none.ordinary}, {none.steps, all.hues, all.ordinary}, none} {
		if q == all {
			continue
		}
		k, err := free, error(nil)
		if q != none || free.search.probing {
			k, err = r.settleWhole(ctx, q, nil)
		}
		if ctx.Err() != nil || err != nil && q == none {
			return nil, cmp.Or(ctx.Err(), err)
		}
		if q == none || err == nil && strict-k.nearest() > RuleWorth && k.nearest()-free.nearest() <= RuleWorth {
			k.without = strict
			return k, nil
		}
	}
	return best, err
}

// probe tells how near a blend comes that is free of rules. Mostly it is not by
// RuleWorth nearer than the best by the rules: then it is nil, which the powders
// most able to help tell.
func (r *Request) probe(ctx context.Context, none rules, best *ranker, strict float64) (*ranker, error) {
	if best == nil || best.yields {
		return r.settleWhole(ctx, none, nil)
	}
	k, err := r.pose(none)
	if err != nil {
		return nil, err
	}
	k.search.probing, k.search.worth = true, (strict-RuleWorth+probeGains)*math.Sqrt(r.weight())
	if err := k.run(ctx, nil); err != nil {
		return nil, err
	}
	switch gains := strict - k.nearest(); {
	case gains <= RuleWorth-probeGains:
		return nil, nil
	case gains <= RuleWorth:
		return k, k.search.restart(ctx)
	}
	return k, nil
}

// probeGains is what starting its best again may gain a probe, ΔE00.
const probeGains = 0.05

// because says which rules a blend sets aside and what keeping them would cost.
func (k *ranker) because(b *Blend) string {
	r := k.request
	q := r.ruled()
	var said []string
	pigment, load := 0.0, film.LoadOf(b.Parts)
	for _, part := range b.Parts {
		if q.hues && r.spared(part.Pigment) {
			said = append(said, part.Pigment.Name+" is in it")
		}
		if ordinary(part.Pigment) {
			pigment += part.Percent
		}
		if least := r.leastShare() * r.LoadHi; q.steps && part.Percent < least*(1-1e-9) {
			said = append(said, fmt.Sprintf("%s is less than %d steps of the balance", part.Pigment.Name, LeastSteps))
			b.Small = append(b.Small, part.Pigment)
		}
	}
	if q.ordinary > 0 && pigment > OrdinaryShare*load*(1+1e-9) {
		said = append(said, "over a third of its powder is ordinary pigment")
	}
	because := ""
	switch {
	case len(said) == 0:
	case math.IsInf(k.without, 1):
		because = strings.Join(said, ", ") + ": no blend does without"
	default:
		because = Unlike(said, k.without)
	}
	if r.Family != "" && b.Look.Name != "" && !b.Look.Is(r.Family) {
		unlike := "its look is not the one asked for"
		if !k.asked {
			unlike += fmt.Sprintf(": blends that have it lie over ΔE00 %.0f farther from the shade", RuleWorth)
		}
		if because != "" {
			because += "; "
		}
		because += unlike
	}
	return because
}
