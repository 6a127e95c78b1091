package reading

import (
	"fmt"
	"image"
	"math"
	"slices"

	"tawny/colour"
)

// MaxPatches is the most patches a photo is measured by.
const MaxPatches = 200

// Calibration is a photo whose camera and light have been found from its known
// patches, ready to measure any number of places in it.
type Calibration struct {
	photo   *Photo
	camera  camera
	used    []observed
	areas   []Patch
	result  Result // as far as it is of the patches
	suspect string // advice on a patch the others agree without
}

// Calibrate finds the camera and the light from known patches. Those that lie
// outside the photo, overlap or are too small are an error.
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
	c := &Calibration{photo: p, areas: slices.Clone(patches)}
	known := &c.result
	known.name, known.Verdict, known.Warnings = p.Name, Refused, slices.Clone(p.Notes)
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
				known.Warnings = append(known.Warnings, fmt.Sprintf("the light changes by %.0f %% within patch %q", 100*s.uneven, patch.Name))
			}
		}
		if result.Dropped != "" {
			known.Warnings = append(known.Warnings, fmt.Sprintf("patch %q is not used: %s", patch.Name, result.Dropped))
		}
		known.Patches = append(known.Patches, result)
	}
	if len(c.used) == 0 {
		return c, nil
	}
	c.camera = develop(c.used)
	for i, o := range c.used {
		r := &known.Patches[index[i]]
		r.Found = c.camera.lab(o.stat.rgb, o.stat.u, o.stat.v)
		r.DeltaE = colour.DeltaE00(r.Found, r.Known)
		known.Residual += r.DeltaE / float64(len(c.used))
		known.Largest = max(known.Largest, r.DeltaE)
	}
	c.holdOut(index)
	return c, nil
}

// Measure finds the colour of one area of the photo; one that lies outside it, on a
// patch or is too small is an error. A photo that cannot be trusted gives a Result
// whose Verdict is Refused and whose Why says so.
func (c *Calibration) Measure(area image.Rectangle) (Result, error) {
	p, r := c.photo, c.result
	r.Warnings, r.Patches = slices.Clone(r.Warnings), slices.Clone(r.Patches)
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
	known := &c.result
	least, odd := known.Residual, -1
	for i, o := range c.used {
		rest = append(append(rest[:0], c.used[:i]...), c.used[i+1:]...)
		without := fit(rest, c.camera.model, &c.camera)
		r := &known.Patches[index[i]]
		r.Held = colour.DeltaE00(without.lab(o.stat.rgb, o.stat.u, o.stat.v), r.Known)
		known.HeldOut += r.Held / float64(len(c.used))
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
	if len(c.used) > enoughToCheck && odd >= 0 && (known.Residual > goodResidual || known.Largest > worstPatch/2) && least < goodResidual && least < known.Residual/2 {
		r := known.Patches[index[odd]]
		c.suspect = fmt.Sprintf("without patch %q (number %d) the others agree to %.1f ΔE00, so it is most likely that one: a wrong colour, a shadow or glare on it", r.Name, index[odd]+1, least)
	}
}
