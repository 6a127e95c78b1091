package swatches

import (
	"tawny/colour"
	"tawny/swatches/shimmer"
)

// Card is one blend on one skin, as plain data.
type Card struct {
	Heading

	Viewing *colour.Viewing // light and observer of every Lab here; nil is D65/2
	Light   string          // the light in words; empty names the illuminant

	Skin      Patch
	Target    *Patch // nil where nothing was aimed at
	Coverages []Coverage
	Matched   int // index of the coverage the blend was matched at

	// Rig and Seed light the shimmer, where Skin and every coverage have a
	// Film; else the colours are flat.
	Rig  shimmer.Rig
	Seed uint64

	// Jars are the product in the jar, such as the wet lotion, its dry film in
	// depth, or the oil; none hides them.
	Jars []Patch

	Blend     Blend
	Undertone string // in words
	Sparkle   Sparkle
	Remarks   []string // anything else a maker should read
}

// Patch is one colour with its name.
type Patch struct {
	Name string
	Lab  colour.Lab // under the card's viewing
	// Film, where given, is how the patch is pictured under a lamp.
	Film *shimmer.Film
}

// Coverage is the blend on the skin in one amount.
type Coverage struct {
	Name     string     // "sheer", "smoothed", "full"
	MgPerCM2 float64    // product on skin, mg/cm²
	Lab      colour.Lab // under the card's viewing
	Film     *shimmer.Film
}

// Blend is what goes into the jar.
type Blend struct {
	Name        string
	Parts       []Part
	LoadPercent float64 // all powders, % w/w of the product
	Base        string
	BatchGrams  float64 // finished product, g; 0 hides grams
	Decimals    int     // decimals of grams, from the balance; 0 means as many as the weights need, up to 2
}

// Part is one powder of a blend.
type Part struct {
	Powder  string
	Percent float64 // % w/w of the finished product
	Grams   float64 // g in the batch
}

// Sparkle is how much single flakes show.
type Sparkle struct {
	Word   string  // "satin", "pearl", "sparkle"; empty hides it
	PerCM2 float64 // glints in each cm² of skin
	None   bool    // the blend has no flakes, and the card says so
}

func (c *Card) viewing() *colour.Viewing { return viewing(c.Viewing) }

// viewing is v, or D65/2 where it is nil.
func viewing(v *colour.Viewing) *colour.Viewing {
	if v == nil {
		return colour.D65
	}
	return v
}
