package reading

import (
	"fmt"

	"tawny/colour"
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

// Lies says whether what was marked as the patch looks like one: of one colour, in
// one light.
func (p PatchResult) Lies() (ok bool, says string) {
	if p.Dropped != "" {
		return false, "not on one patch: " + p.Dropped
	}
	return lies(p.Clipped, p.Uneven, "patch")
}

// Lies says the same of the area that was measured.
func (r Result) Lies() (ok bool, says string) { return lies(r.Clipped, r.Uneven, "area") }

func lies(clipped, uneven float64, what string) (bool, string) {
	switch {
	case clipped > manyClipped:
		return false, fmt.Sprintf("%.0f %% of it is at the end of the scale", 100*clipped)
	case uneven > someUneven:
		return false, fmt.Sprintf("the light changes by %.0f %% within it: partly beside its %s, or in a shadow", 100*uneven, what)
	}
	return true, "on one even " + what
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

// Reading returns the colour as a reading in a photo's geometry. A refused result is an error.
func (r Result) Reading() (colour.Reading, error) {
	if r.Verdict != Good && r.Verdict != Care {
		why := "it was not measured"
		if len(r.Why) > 0 {
			why = r.Why[0]
		}
		return colour.Reading{}, fmt.Errorf("%s: this photo cannot be used: %s", r.name, why)
	}
	return colour.Reading{
		Text: "photo " + r.name, Lab: r.Lab, Viewing: colour.D65, Geometry: colour.Photo,
		Note: fmt.Sprintf("from a photo, one angle only, ± %.1f ΔE00", r.SE),
	}, nil
}
