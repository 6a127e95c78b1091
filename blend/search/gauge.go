package search

import (
	"fmt"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// gauge tells what amounts of given powders look like under a request, over
// and over, without allocating. Amounts are in % w/w of the product.
type gauge struct {
	r     Request // with its defaults taken
	p     *problem
	e     *evaluator
	index []int
	scale float64 // shares for a per cent
}

// gaugeOf makes a gauge for the powders of parts; the request's choices do not
// bind it.
func gaugeOf(r Request, parts []film.Part) (*gauge, error) {
	if len(parts) == 0 || len(parts) > maxParts {
		return nil, fmt.Errorf("%d powders in a blend; 1 to %d are accepted", len(parts), maxParts)
	}
	r, err := r.defaulted()
	if err != nil {
		return nil, err
	}
	use := make([]*palette.Pigment, len(parts))
	for i, part := range parts {
		if part.Pigment == nil {
			return nil, fmt.Errorf("part %d of the blend names no powder", i+1)
		}
		if !(part.Percent >= 0 && part.Percent <= 100) {
			return nil, fmt.Errorf("powder %q at %g %%; 0 to 100 is accepted", part.Pigment.Name, part.Percent)
		}
		use[i] = part.Pigment
	}
	free := r
	free.Choice = Choice{}
	g := &gauge{r: r, scale: 1 / r.LoadHi}
	if g.p, err = free.problem(use, make([]bool, len(use))); err != nil {
		return nil, err
	}
	g.e = newEvaluator(g.p)
	for i := range use {
		g.index = append(g.index, i)
	}
	g.e.choose(g.index)
	return g, nil
}

// f returns the request's objective, Σ weight·ΔE00², for amounts in per cent.
func (g *gauge) f(percent *[maxParts]float64) float64 {
	x := g.shares(percent)
	return g.e.value(&x)
}

// lab returns the diffuse colour under the request's light.
func (g *gauge) lab(percent *[maxParts]float64) colour.Lab {
	x := g.shares(percent)
	g.e.film(&x, false)
	return g.r.Light.Lab(&g.e.r[0])
}

func (g *gauge) shares(percent *[maxParts]float64) (x [maxParts]float64) {
	for i := range g.index {
		x[i] = percent[i] * g.scale
	}
	return x
}

// percents returns the amounts of parts.
func percents(parts []film.Part) (p [maxParts]float64) {
	for i := range parts {
		p[i] = parts[i].Percent
	}
	return p
}

// blendOf returns the blend that parts make under the gauge's request. Its
// Residual is 0: it was given, not optimised.
func (g *gauge) blendOf(parts []film.Part) (Blend, error) {
	percent := percents(parts)
	b := Blend{Objective: g.f(&percent)}
	c, err := film.NewConditions(g.r.Base.Index, g.r.Tilt, g.r.Ground.Excluded)
	if err != nil {
		return b, err
	}
	scene := film.NewGlintScene(g.r.Base.Index, g.r.Tilt, &c.Views[0])
	b.Reflectance = g.e.r[0]
	for _, part := range parts {
		b.LoadPercent += part.Percent
	}
	for _, part := range parts {
		part.ArealMass = g.r.Apply * part.Percent / 100
		part.Share = 0
		if b.LoadPercent > 0 {
			part.Share = 100 * part.Percent / b.LoadPercent
		}
		b.Parts = append(b.Parts, part)
		b.CostPer100 += part.Percent * part.Pigment.PricePerG
		b.GlintsPerCM2 += part.ArealMass * scene.PerMass(part.Pigment)
	}
	b.Lab, b.SecondLab = g.r.Light.Lab(&b.Reflectance), g.r.Second.Lab(&b.Reflectance)
	b.Shift = colour.DeltaE00(b.Lab, b.SecondLab)
	b.DeltaE00 = colour.DeltaE00(b.Lab, g.r.Targets[0].Lab)
	return b, nil
}
