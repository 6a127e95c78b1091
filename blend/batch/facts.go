package batch

import (
	"cmp"
	"fmt"
	"math"

	"tawny/blend/batch/suspend"
	"tawny/blend/palette"
)

// PowderFact is what a maker wants to know of one powder in this batch.
type PowderFact struct {
	Name          string  `json:"name"`
	Grade         string  `json:"grade"` // satin, pearl or sparkle, in words
	OilAbsorption float64 `json:"oilAbsorptionG100g"`
	OilAssumed    bool    `json:"oilAssumed,omitempty"`
	PasteOilG     float64 `json:"pasteOilG,omitempty"`  // oil or mist: oil that just makes this batch's powder a stiff paste, g
	SlurryOilG    float64 `json:"slurryOilG,omitempty"` // oil or mist: oil for a smooth slurry, g
	BulkGML       float64 `json:"bulkGMl"`
	BulkAssumed   bool    `json:"bulkAssumed,omitempty"`
	SpoonsLow     float64 `json:"teaspoonsLow"` // 5 ml spoons, pressed
	SpoonsHigh    float64 `json:"teaspoonsHigh"`
	FallMMDay     float64 `json:"fallMmPerDay,omitempty"` // settling at d50, mm/day; 0 where it is held up or not known
	FallMMDayLow  float64 `json:"fallMmPerDayLow,omitempty"`
	FallMMDayHigh float64 `json:"fallMmPerDayHigh,omitempty"`
	YieldPa       float64 `json:"yieldPa,omitempty"` // yield stress that holds its d90 up, Pa

	pigment *palette.Pigment
}

// spoonSpread is how far a level spoon of loose powder varies either way
// (common practice: ± 30 % between sifted and tapped).
const spoonSpread = 0.30

// teaspoonML is a measuring teaspoon.
const teaspoonML = 5

// gradeWords are a powder's grade and what it does.
func gradeWords(p *palette.Pigment) string {
	switch grade := palette.GradeWord([3]float64{p.D10, p.D50, p.D90}); {
	case p.D50 == 0:
		return "grade not given"
	case !isFlake(p):
		return fmt.Sprintf("plain colour, %g µm", p.D50)
	case grade == "sparkle":
		return "sparkle, transparent"
	case grade == "pearl":
		return "pearl"
	}
	return "satin, covering"
}

func powderFacts(req *Request, b *Batch) []PowderFact {
	var out []PowderFact
	for _, l := range b.Weighings {
		if !l.Powder {
			continue
		}
		p := l.pigment
		f := PowderFact{Name: l.Name, Grade: gradeWords(p), pigment: p}
		f.OilAbsorption, f.OilAssumed = oilAbsorption(p)
		if b.Kind.wetted() { // elsewhere no slurry is made
			f.PasteOilG = l.Grams * f.OilAbsorption / 100
			f.SlurryOilG = slurryFactor * f.PasteOilG
		}
		f.BulkGML, f.BulkAssumed = bulkDensity(p)
		spoons := l.Grams / f.BulkGML / teaspoonML
		f.SpoonsLow, f.SpoonsHigh = spoons/(1+spoonSpread), spoons/(1-spoonSpread)
		if p.Density > 0 && p.D50 > 0 {
			delta := 1000 * (p.Density - req.Base.Density)
			f.YieldPa = holdYield(p, max(p.D90, p.D50), delta)
			held := req.Base.YieldStress >= holdMargin*f.YieldPa
			if eta := req.Base.Viscosity; eta > 0 && !held {
				f.FallMMDay = fall(p, p.D50, delta, eta)
				f.FallMMDayLow, f.FallMMDayHigh = f.FallMMDay, f.FallMMDay
				if p.D10 > 0 && p.D90 > 0 {
					f.FallMMDayLow, f.FallMMDayHigh = fall(p, p.D10, delta, eta), fall(p, p.D90, delta, eta)
				}
			}
		}
		out = append(out, f)
	}
	return out
}

// disc is a flake of one size, substrate and both coats thick; not flat where it is
// none or thicker than wide. An unstated substrate is 400 nm (design: 400 ± 100 nm).
func disc(p *palette.Pigment, um float64) (d suspend.Disc, flat bool) {
	nm := cmp.Or(p.Substrate, 400)
	for _, l := range p.Layers {
		nm += 2 * l.ThicknessNM
	}
	d = suspend.Disc{Radius: um * 1e-6 / 2, Thickness: nm * 1e-9}
	return d, isFlake(p) && um*1e-6 > d.Thickness
}

// fall is the settling speed of particles of one size, mm/day.
func fall(p *palette.Pigment, um, deltaRho, eta float64) float64 {
	const mmPerDay = 1e3 * 86400
	if d, flat := disc(p, um); flat {
		return mmPerDay * d.Tumbling(deltaRho, eta)
	}
	return mmPerDay * suspend.Sphere(um*1e-6, deltaRho, eta)
}

// holdYield is the yield stress that holds particles of one size up, Pa.
func holdYield(p *palette.Pigment, um, deltaRho float64) float64 {
	if d, flat := disc(p, um); flat {
		return d.Yield(deltaRho)
	}
	return suspend.SphereYield(um*1e-6, deltaRho)
}

// Suspension says how the shimmer stays up, or how long until it does not.
type Suspension struct {
	HeightMM   float64  `json:"heightMm"`             // of liquid in a container
	NeedPa     float64  `json:"needPa"`               // yield stress that holds every flake, with margin
	HasPa      float64  `json:"hasPa"`                // the base's
	Holds      bool     `json:"holds"`                //
	ClearHours float64  `json:"clearHours,omitempty"` // until a shaken bottle clears, middling flakes; 0 not known
	FirstHours float64  `json:"firstHours,omitempty"` // until the top tenth has cleared of the largest
	Text       string   `json:"text"`
	Use        string   `json:"use,omitempty"` // a base of this tool's own that holds them up, where this one does not
	Remedies   []string `json:"remedies,omitempty"`
}

// holdMargin is how many times the bare criterion a base should have: bottles
// are shaken in transit and flakes clump (common practice: ten times).
const holdMargin = 10

func suspension(req *Request, b *Batch) *Suspension {
	s := &Suspension{HeightMM: 80, HasPa: req.Base.YieldStress}
	if v := req.ContainerML; v > 0 {
		// a bottle three times as tall as wide (common practice)
		d := math.Cbrt(4 * v * 1000 / (3 * math.Pi))
		s.HeightMM = 3 * d
	}
	slow, fast := math.Inf(1), 0.0
	flakes := false
	for _, f := range b.Powders {
		s.NeedPa = max(s.NeedPa, holdMargin*f.YieldPa)
		if isFlake(f.pigment) && f.FallMMDay > 0 {
			flakes = true
			slow, fast = min(slow, f.FallMMDay), max(fast, f.FallMMDayHigh)
		}
	}
	if s.NeedPa == 0 {
		return nil
	}
	s.Holds = s.HasPa >= s.NeedPa
	if !s.Holds {
		s.Use = holder(&req.Base, s.NeedPa)
	}
	if flakes && !s.Holds {
		s.ClearHours = 24 * s.HeightMM / slow
		s.FirstHours = 24 * s.HeightMM / 10 / fast
	}
	said := tell("suspension", struct {
		*Suspension
		Base *Base
	}{s, &req.Base})
	s.Text, s.Remedies = said[0], said[1:]
	return s
}

// holder names the least stiff of this tool's own bases, with water or without
// as the given one, that stands stiffer than so many Pa; "" for none.
func holder(like *Base, pa float64) string {
	name, least := "", math.Inf(1)
	for _, b := range builtin() {
		if y := b.YieldStress; b.Kind != Ready && b.HasWater() == like.HasWater() && y >= pa && y < least {
			name, least = b.Name, y
		}
	}
	return name
}

// duration writes hours as a maker says them.
func duration(hours float64) string {
	n, unit := hours, "hour"
	switch {
	case hours < 1:
		n, unit = math.Max(1, hours*60), "minute"
	case hours < 48:
	case hours < 24*60:
		n, unit = hours/24, "day"
	default:
		n, unit = hours/24/30, "month"
	}
	if n = math.Round(n); n != 1 {
		unit += "s"
	}
	return fmt.Sprintf("%.0f %s", n, unit)
}

// String says the fact in a line.
func (f PowderFact) String() string {
	s := f.Name + ": " + f.Grade
	if f.SlurryOilG > 0 {
		assumed := map[bool]string{true: ", assumed"}[f.OilAssumed]
		s += fmt.Sprintf("; smooth slurry with about %.1f g to wet it (stiff paste at %.1f g%s)", f.SlurryOilG, f.PasteOilG, assumed)
	}
	s += fmt.Sprintf("; about %s to %s level 5 ml spoons, but weigh it.", sig2(f.SpoonsLow), sig2(f.SpoonsHigh))
	if f.FallMMDay >= 0.1 {
		s += fmt.Sprintf(" Falls about %s mm a day here.", sig2(f.FallMMDay))
	}
	return s
}
