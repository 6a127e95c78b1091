package batch

import (
	"tawny/blend/palette"
)

// Request is what a batch is made from. Give Grams, or Containers and
// ContainerML, not both.
type Request struct {
	Base  Base
	Parts []Part // the blend; empty for a plain base

	Drawer []*palette.Pigment // what else there is, for advice; may be empty

	Grams           float64 // finished product, g
	Containers      int
	ContainerML     float64 // nominal content of one container, ml
	Samples         *int    // containers kept, made over and above Containers; nil keeps one of them
	OverfillPercent float64 // given over the nominal content, % of it
	LossPercent     float64 // left on pans, spatulas and in the funnel, % of the batch

	Balance Balance // zero: reads to 0.1 g

	// PowderGrams overrides the rounding of the powders, one weight a part,
	// each a whole number of the balance's steps; nil to round here.
	PowderGrams []float64

	Area     palette.Area // where it is worn; zero is the body
	Filler   string       // ingredient that gives way; zero takes the base's own
	Scent    *Scent
	NozzleUM float64 // mist: smallest passage of the nozzle, µm; zero unknown
	Closure  string  // overrides the suggested closure

	Title string // blend's name, for the heading
	Code  string // batch code; blank leaves a line to write it
	Date  string // day made; blank leaves a line

	PH       float64   // measured in the finished batch, instead of the base's; 0 not known
	PHWas    string    // before something was put in to set it; blank where nothing was
	LotUntil string    // day or month until which the first lot to run out is good; blank not known
	Held     []Finding // of lots that are held back
	Open     []string  // what of a batch begun is not weighed
	Look     *Look     // what the blend was matched to, for the heading
}

// Part is one powder of the blend.
type Part struct {
	Pigment *palette.Pigment
	Percent float64 // % w/w of the finished product
}

// Scent is a fragrance or essential oil.
type Scent struct {
	Name       string     `json:"name"`
	Percent    float64    `json:"percent"`    // % w/w of the finished product
	MaxPercent float64    `json:"maxPercent"` // limit on its own certificate for this use; 0 not known
	Allergens  []Allergen `json:"allergens"`  // from its certificate
}

// Allergen is one named allergen of a scent.
type Allergen struct {
	INCI    string  `json:"inci"`
	Percent float64 `json:"percent"` // % of the scent
}

// Look is the prediction a sheet repeats in its heading.
type Look struct {
	Skin     string  `json:"skin"`     // as the maker gave it
	Target   string  `json:"target"`   // as the maker gave it
	Lab      string  `json:"lab"`      // predicted colour on that skin
	DeltaE00 float64 `json:"deltaE00"` // to the target, as weighed
	// MovedDeltaE00 is how far the balance's steps move the shade from the
	// blend as asked.
	MovedDeltaE00 float64 `json:"movedDeltaE00"`
	ApplyMgCm2    float64 `json:"applyMgCm2"` // finished product on skin
	Source        string  `json:"source"`     // modelled, measured …
}
