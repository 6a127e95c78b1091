package reading

import (
	"fmt"
	"math"
)

// Verdict says what a result is good for, in words.
type Verdict string

// The verdicts, worst first.
const (
	Refused Verdict = "refused"
	Care    Verdict = "use with care"
	Good    Verdict = "good"
)

// The thresholds behind a verdict, all conventions of this tool.
const (
	// A blend counts as a match within about 1 ΔE00, so a photo that holds
	// its own patches to 1.5 hardly adds to it; past that its misfit widens the
	// colour's error, up to where the patches cannot be those that are named.
	goodResidual = 1.5
	// One patch this far off is a wrong colour, a shadow or a slip in marking.
	worstPatch = 6.0
	// A few patches leave a wide error, which is told and goes with the colour.
	goodSE = 1.5
	// Clipped pixels say only "at least this bright". The robust value bears
	// a few; past a tenth it is no longer the middle of what was there.
	fewClipped, manyClipped = 0.01, 0.10
	// Light that changes by more than a third within one area is a shadow's
	// edge or two things in one rectangle, not a gradient.
	someUneven, veryUneven = 0.12, 0.35
	// sRGB values under about 40 of 255 have steps of more than 1 % in light
	// and a telephone's own noise removal on top.
	darkest = 0.02
	// Six patches give 18 numbers for 13 unknowns: the first count that
	// leaves a residual with meaning.
	enoughToCheck = 6
)

// judge sets the verdict and says why.
func (r *Result) judge(c *camera, used []observed, target patchStat) {
	r.Verdict = Good
	by := map[Verdict][]string{}
	say := func(v Verdict, format string, args ...any) {
		if v == Refused || r.Verdict == Good {
			r.Verdict = v
		}
		by[v] = append(by[v], fmt.Sprintf(format, args...))
	}
	// Why holds what the verdict rests on; what would only have asked for care
	// does not refuse anything and is a warning beside it.
	defer func() {
		r.Why = append(r.Why, by[r.Verdict]...)
		if r.Verdict == Refused {
			r.Warnings = append(by[Care], r.Warnings...)
		}
	}()
	grade := func(x, care, refuse float64, format string, args ...any) {
		switch {
		case !(x <= refuse): // also when not a number
			say(Refused, format, args...)
		case x > care:
			say(Care, format, args...)
		}
	}
	if !r.Lab.Finite() || math.IsInf(c.scatter, 0) {
		say(Refused, "no camera explains the patches; are they marked in the right order?")
		return
	}
	grade(r.Residual, goodResidual, worstPatch, "the known patches come out %.1f ΔE00 off on average (over %g is refused); check their order, their colours, and shadows on them", r.Residual, worstPatch)
	if r.Residual > goodResidual {
		r.SE = math.Hypot(r.SE, r.Residual) // what does not fit the patches may not fit the colour either
	}
	if worst := r.worst(); worst != nil {
		grade(worst.DeltaE, worstPatch/2, worstPatch, "patch %q comes out %.1f ΔE00 off (over %g is refused); is it the colour it is said to be, and in the same light?", worst.Name, worst.DeltaE, worstPatch)
	}
	if !(r.SE <= goodSE) {
		say(Care, "the colour is known to ΔE00 %.1f only (one standard error); more patches, nearer the skin, would narrow it", r.SE)
	}
	grade(r.Clipped, fewClipped, manyClipped, "%.0f %% of the area is at the end of the scale (over %.0f %% is refused); expose for the skin", 100*r.Clipped, 100*manyClipped)
	grade(r.Uneven, someUneven, veryUneven, "the light changes by %.0f %% within the area (over %.0f %% is refused); mark a smaller, evenly lit part", 100*r.Uneven, 100*veryUneven)
	if m := max(target.rgb[0], target.rgb[1], target.rgb[2]); m < darkest {
		say(Care, "the area is very dark in the photo; give it more light")
	}
	if c.model == balance {
		say(Care, "only exposure and tint were corrected (%s); four or more patches of different colours would correct the camera's mixing too", counted(len(used), "usable patch", "usable patches"))
	}
	if c.model == full && len(used) < enoughToCheck {
		say(Care, "%d patches settle the camera but leave too little over to check it; %d or more would", len(used), enoughToCheck)
	}
	nominal := 0
	for _, o := range used {
		if o.known.SE >= 2 {
			nominal++
		}
	}
	if nominal == len(used) {
		say(Care, "every patch is nominal, not read; read the strip once with an instrument")
	}
	if r.Verdict == Good {
		say(Good, "%d patches come out within %.1f ΔE00 and the light is even enough", len(used), r.Largest)
	}
	if r.Light > 0.25 {
		r.Warnings = append(r.Warnings, fmt.Sprintf("the light changes by %.0f %% across what is marked; it was evened out", 100*r.Light))
	}
	if math.Abs(r.Contrast-1) > 0.1 {
		r.Warnings = append(r.Warnings, fmt.Sprintf("the camera bends the tones (contrast %.2f); it was taken out", r.Contrast))
	}
	if d := beyond(used, target); d > 0.35 {
		r.Warnings = append(r.Warnings, "the area lies well away from the patches, so the light there is a guess; hold the card beside the skin")
	}
	if lightest, darkest := lightness(used); c.model == full && (r.Lab.L > lightest+10 || r.Lab.L < darkest-10) {
		r.Warnings = append(r.Warnings, fmt.Sprintf("the colour (L* %.0f) lies outside the patches' L* %.0f to %.0f", r.Lab.L, darkest, lightest))
	}
	if r.Spread > 3 {
		r.Warnings = append(r.Warnings, fmt.Sprintf("the area varies by %.1f ΔE00; glints, hair and blemishes are left out of its colour, so read several places", r.Spread))
	}
	if !r.InGamut {
		r.Warnings = append(r.Warnings, "the colour is outside what a screen can show; its hex is the nearest")
	}
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func (r *Result) worst() *PatchResult {
	var worst *PatchResult
	for i := range r.Patches {
		p := &r.Patches[i]
		if p.Dropped == "" && (worst == nil || p.DeltaE > worst.DeltaE) {
			worst = p
		}
	}
	return worst
}

// beyond is how far, in frames, the target lies outside the box of patches.
func beyond(used []observed, t patchStat) float64 {
	u0, u1, v0, v1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, o := range used {
		u0, u1 = min(u0, o.stat.u), max(u1, o.stat.u)
		v0, v1 = min(v0, o.stat.v), max(v1, o.stat.v)
	}
	return math.Hypot(max(u0-t.u, 0, t.u-u1), max(v0-t.v, 0, t.v-v1))
}

func lightness(used []observed) (lightest, darkest float64) {
	lightest, darkest = math.Inf(-1), math.Inf(1)
	for _, o := range used {
		lightest, darkest = max(lightest, o.known.Lab.L), min(darkest, o.known.Lab.L)
	}
	return lightest, darkest
}
