package reading

import (
	"fmt"
	"image"
	"math"

	"tawny/colour"
)

// Marks is what the maker marks in a photo: the known patches and the area
// whose colour is wanted, in pixels of the upright photo.
type Marks struct {
	Patches []Patch
	Target  image.Rectangle
}

// MaxPatches is the most patches a photo is measured by.
const MaxPatches = 200

// Verdict says what a result is good for.
type Verdict int

// The verdicts, worst first, so that the zero Result is refused.
const (
	Refused Verdict = iota
	Care            // use with care
	Good
)

// String returns the verdict in words.
func (v Verdict) String() string {
	return [...]string{"refused", "use with care", "good"}[v]
}

// MarshalText writes the verdict in words.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// The thresholds behind a verdict, all conventions of this tool.
const (
	// A blend counts as a match within about 1 ΔE00, so a photo that holds
	// its own patches to 1.5 hardly adds to it; at 3 two swatches side by side
	// are plainly not the same, and the blend would be steered by the photo.
	goodResidual, worstResidual = 1.5, 3.0
	// One patch this far off is a wrong colour, a shadow or a slip in marking.
	worstPatch = 6.0
	// A standard error of 5 ΔE00 is about half the step from one skin preset
	// to the next: picking a preset by eye would do as well.
	goodSE, worstSE = 1.5, 5.0
	// Clipped pixels say only "at least this bright". The robust value bears
	// a few; past a tenth it is no longer the middle of what was there.
	fewClipped, manyClipped = 0.01, 0.10
	// Light that changes by more than a third within one area is a shadow's
	// edge or two things in one rectangle, not a gradient.
	someUneven, veryUneven = 0.12, 0.35
	// sRGB values under about 40 of 255 have steps of more than 1 % in light
	// and a telephone's own noise removal on top.
	darkest = 0.02
	// Six patches give 18 numbers for 12 or 13 unknowns: the first count that
	// leaves a residual with meaning.
	enoughToCheck = 6
)

// PatchResult is how one known patch came out.
type PatchResult struct {
	Name    string     `json:"name"`
	Known   colour.Lab `json:"known"`
	Found   colour.Lab `json:"found"`            // by the fitted camera
	DeltaE  float64    `json:"delta_e00"`        // between the two
	Held    float64    `json:"held_out_de00"`    // the same with this patch left out of the fit; 0 where too few are left
	Clipped float64    `json:"clipped_share"`    // of its pixels
	Uneven  float64    `json:"uneven_share"`     // largest difference of light within it
	Noise   float64    `json:"noise_share"`      // median deviation of a pixel's light
	Dropped string     `json:"dropped,omitzero"` // why it was not used
}

// Result is a colour measured from a photo.
type Result struct {
	Lab      colour.Lab    `json:"lab"` // D65/2
	Hex      string        `json:"hex"`
	InGamut  bool          `json:"in_gamut"`
	SE       float64       `json:"se_de00"`            // one standard error, of the fit and the patches' own errors
	Spread   float64       `json:"spread_de00"`        // mean ΔE00 of the area's parts from its colour
	Residual float64       `json:"residual_de00"`      // mean over the patches
	Largest  float64       `json:"residual_max_de00"`  // over the patches
	HeldOut  float64       `json:"held_out_de00"`      // mean with each patch left out in turn; 0 where too few
	Clipped  float64       `json:"clipped_share"`      // of the area's pixels
	Uneven   float64       `json:"uneven_share"`       // largest difference of light within the area
	Noise    float64       `json:"noise_share"`        // median deviation of a pixel's light in the area
	Light    float64       `json:"light_change_share"` // largest difference of the fitted light between what is marked
	Contrast float64       `json:"contrast"`           // tone-curve exponent of the tone curve that was taken out; 1 is none
	Model    string        `json:"model"`              // "3 × 3" or "white balance"
	Patches  []PatchResult `json:"patches"`
	Warnings []string      `json:"warnings"`
	Why      []string      `json:"why"` // behind the verdict
	Verdict  Verdict       `json:"verdict"`

	name string
}

// Reading returns the colour as a reading, specular component excluded as in
// every photo. A refused result is an error.
func (r Result) Reading() (colour.Reading, error) {
	if r.Verdict == Refused {
		why := "it was not measured"
		if len(r.Why) > 0 {
			why = r.Why[0]
		}
		return colour.Reading{}, fmt.Errorf("%s: this photo cannot be used: %s", r.name, why)
	}
	return colour.Reading{
		Text: "photo " + r.name, Lab: r.Lab, Viewing: colour.D65, Excluded: true,
		Note: fmt.Sprintf("from a photo, one angle only, ± %.1f ΔE00", r.SE),
	}, nil
}

// Calibration is a photo whose camera and light have been found from its known
// patches, ready to measure any number of places in it.
type Calibration struct {
	photo    *Photo
	camera   camera
	used     []observed
	patches  []PatchResult
	warnings []string
	residual float64
	largest  float64
	heldOut  float64
	suspect  string // advice on a patch the others agree without
	areas    []Patch
}

// Measure finds the colour of the target. Marks that lie outside the photo,
// overlap or are too small are an error; a photo that cannot be trusted gives
// a Result whose Verdict is Refused and whose Why says so.
func (p *Photo) Measure(m Marks) (Result, error) {
	c, err := p.Calibrate(m.Patches)
	if err != nil {
		return Result{name: p.Name}, err
	}
	return c.Measure(m.Target)
}

// Calibrate finds the camera and the light from known patches.
func (p *Photo) Calibrate(patches []Patch) (*Calibration, error) {
	if len(patches) == 0 {
		return nil, fmt.Errorf("%s: no known patch is marked; one grey card, or four or more patches of known colour, is accepted", p.Name)
	}
	if len(patches) > MaxPatches {
		return nil, fmt.Errorf("%s: %d patches are marked; at most %d are accepted", p.Name, len(patches), MaxPatches)
	}
	for i, patch := range patches {
		for _, before := range patches[:i] {
			if patch.Area.Overlaps(before.Area) {
				return nil, fmt.Errorf("%s: patches %q and %q overlap; mark each by itself", p.Name, before.Name, patch.Name)
			}
		}
	}
	c := &Calibration{photo: p, areas: append([]Patch(nil), patches...)}
	c.warnings = append(c.warnings, p.Notes...)
	var index []int
	for i, patch := range patches {
		if l := patch.Lab; !l.Finite() || l.L <= 0 || l.L > 100 || l.Chroma() > 200 {
			return nil, fmt.Errorf("%s: patch %q is L*a*b* %.4g, %.4g, %.4g; L* above 0 and up to 100, and a chroma up to 200, is accepted", p.Name, patch.Name, l.L, l.A, l.B)
		}
		if !(patch.SE >= 0 && patch.SE <= 20) {
			return nil, fmt.Errorf("%s: patch %q has an error of %.4g ΔE00; 0 to 20 is accepted", p.Name, patch.Name, patch.SE)
		}
		s, err := p.measure(patch.Area)
		if err != nil {
			return nil, fmt.Errorf("%s: patch %q: %w", p.Name, patch.Name, err)
		}
		result := PatchResult{Name: patch.Name, Known: patch.Lab, Clipped: s.clipped, Uneven: s.uneven, Noise: s.noise}
		switch {
		case s.clipped > manyClipped:
			result.Dropped = fmt.Sprintf("%.0f %% of it is at the end of the scale", 100*s.clipped)
		case s.uneven > veryUneven:
			result.Dropped = fmt.Sprintf("the light changes by %.0f %% within it", 100*s.uneven)
		default:
			c.used = append(c.used, observe(patch.Known, s))
			index = append(index, i)
			if s.uneven > someUneven {
				c.warnings = append(c.warnings, fmt.Sprintf("the light changes by %.0f %% within patch %q", 100*s.uneven, patch.Name))
			}
		}
		if result.Dropped != "" {
			c.warnings = append(c.warnings, fmt.Sprintf("patch %q is not used: %s", patch.Name, result.Dropped))
		}
		c.patches = append(c.patches, result)
	}
	if len(c.used) == 0 {
		return c, nil
	}
	c.camera = develop(c.used)
	for i, o := range c.used {
		r := &c.patches[index[i]]
		r.Found = c.camera.lab(o.stat.rgb, o.stat.u, o.stat.v)
		r.DeltaE = colour.DeltaE00(r.Found, r.Known)
		c.residual += r.DeltaE / float64(len(c.used))
		c.largest = max(c.largest, r.DeltaE)
	}
	c.holdOut(index)
	return c, nil
}

// Measure finds the colour of one area of the photo.
func (c *Calibration) Measure(area image.Rectangle) (Result, error) {
	p := c.photo
	r := Result{name: p.Name, Warnings: append([]string(nil), c.warnings...), Patches: append([]PatchResult(nil), c.patches...)}
	for _, patch := range c.areas {
		if patch.Area.Overlaps(area) {
			return r, fmt.Errorf("%s: the area to be measured overlaps patch %q; mark it elsewhere", p.Name, patch.Name)
		}
	}
	target, err := p.measure(area)
	if err != nil {
		return r, fmt.Errorf("%s: the skin or swatch: %w", p.Name, err)
	}
	r.Clipped, r.Uneven, r.Noise = target.clipped, target.uneven, target.noise
	r.Residual, r.Largest, r.HeldOut = c.residual, c.largest, c.heldOut
	if len(c.used) == 0 {
		r.Why = append(r.Why, "no known patch is fit to measure by")
		return r, nil
	}
	r.fill(&c.camera, c.used, target)
	r.judge(&c.camera, c.used, target)
	if c.suspect != "" {
		r.Why = append(r.Why, c.suspect)
	}
	return r, nil
}

// develop fits as much of the camera as the patches settle.
func develop(used []observed) camera {
	m := balance
	if len(used) >= 4 && condition(used) <= worstCondition {
		m = full
	}
	// From rest a strong mixing may be a long way off, so the full fit starts
	// where the guarded one ends.
	c := fit(used, balance, nil)
	if m == full {
		c = fit(used, full, &c)
	}
	c.spread(used)
	return c
}

func (r *Result) fill(c *camera, used []observed, target patchStat) {
	r.Model = c.model.String()
	r.Contrast = 1 + c.at[contrast]
	r.Lab = c.lab(target.rgb, target.u, target.v)
	rgb, in := colour.SRGB(r.Lab)
	r.Hex, r.InGamut = rgb.Hex(), in
	r.SE = math.Hypot(c.se(target.rgb, target.u, target.v), target.relativeSE()*(r.Lab.L+16)/3)
	low, high := c.lightAt(target.u, target.v), c.lightAt(target.u, target.v)
	for _, o := range used {
		l := c.lightAt(o.stat.u, o.stat.v)
		low, high = min(low, l), max(high, l)
	}
	r.Light = high/low - 1
	for _, cell := range target.cells {
		r.Spread += colour.DeltaE00(c.lab(cell, target.u, target.v), r.Lab) / float64(len(target.cells))
	}
}

// holdOut foretells each patch from the others: what the target is, to the
// fit, is just such a patch. Below five there is nothing to spare.
func (c *Calibration) holdOut(index []int) {
	const fewest, most = 5, 60 // beyond 60, leaving one out changes nothing
	if len(c.used) < fewest || len(c.used) > most {
		return
	}
	rest := make([]observed, 0, len(c.used))
	least, odd := c.residual, -1
	for i, o := range c.used {
		rest = append(append(rest[:0], c.used[:i]...), c.used[i+1:]...)
		without := fit(rest, c.camera.model, &c.camera)
		r := &c.patches[index[i]]
		r.Held = colour.DeltaE00(without.lab(o.stat.rgb, o.stat.u, o.stat.v), r.Known)
		c.heldOut += r.Held / float64(len(c.used))
		left := 0.0
		for k := range rest {
			o := &rest[k]
			left += colour.DeltaE00(without.lab(o.stat.rgb, o.stat.u, o.stat.v), o.known.Lab) / float64(len(rest))
		}
		if left < least {
			least, odd = left, i
		}
	}
	// One patch is to blame where the rest, without it, would pass.
	if len(c.used) > enoughToCheck && odd >= 0 && (c.residual > goodResidual || c.largest > worstPatch/2) && least < goodResidual && least < c.residual/2 {
		r := c.patches[index[odd]]
		c.suspect = fmt.Sprintf("without patch %q (number %d) the others agree to %.1f ΔE00, so it is most likely that one: a wrong colour, a shadow or glare on it", r.Name, index[odd]+1, least)
	}
}

// judge sets the verdict and says why.
func (r *Result) judge(c *camera, used []observed, target patchStat) {
	r.Verdict = Good
	say := func(v Verdict, format string, args ...any) {
		r.Verdict = min(r.Verdict, v)
		r.Why = append(r.Why, fmt.Sprintf(format, args...))
	}
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
	grade(r.Residual, goodResidual, worstResidual, "the known patches come out %.1f ΔE00 off on average (over %g is refused); check their order, their colours, and shadows on them", r.Residual, worstResidual)
	if worst := r.worst(); worst != nil {
		grade(worst.DeltaE, worstPatch/2, worstPatch, "patch %q comes out %.1f ΔE00 off (over %g is refused); is it the colour it is said to be, and in the same light?", worst.Name, worst.DeltaE, worstPatch)
	}
	grade(r.SE, goodSE, worstSE, "the colour is known to ± %.1f ΔE00 (over %g is refused); more patches, nearer the skin, would narrow it", r.SE, worstSE)
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
		r.Why = append(r.Why, fmt.Sprintf("%d patches come out within %.1f ΔE00 and the light is even enough", len(used), r.Largest))
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
