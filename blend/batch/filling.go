package batch

import (
	"cmp"
	"math"
	"strings"
)

// Filling is how the batch goes into its containers.
type Filling struct {
	Method       string  `json:"method"`
	Closure      string  `json:"closure"`
	ContainerML  float64 `json:"containerMl,omitempty"` // nominal
	FillML       float64 `json:"fillMl,omitempty"`      // with overfill
	FillG        float64 `json:"fillG,omitempty"`
	Asked        int     `json:"asked,omitempty"`
	Filled       int     `json:"filled,omitempty"` // containers this batch fills
	LossG        float64 `json:"lossG"`            // left on tools
	Kept         int     `json:"kept,omitempty"`   // of Filled: kept closed, and emptied into the jars of the log
	Closed       int     `json:"keptClosed"`       // of Kept
	LeftoverG    float64 `json:"leftoverG"`        // after the containers
	KeepStirring bool    `json:"keepStirring"`
	Says         string  `json:"says,omitempty"`
}

// fillMethods by consistency, all common practice.
var fillMethods = map[Consistency]string{
	Thin:  "pour from a lipped jug, through a funnel for narrow necks",
	Runny: "pour through a funnel",
	Soft:  "syringe, or a bag with its corner cut",
	Thick: "piping bag, tapping out the air; a spatula for jars",
}

// closureFor is the closure that suits the product (common practice).
func closureFor(base *Base) string {
	switch {
	case base.Kind.Sprayed():
		return "fine-mist pump whose passages pass the flakes, with an overcap"
	case !base.HasWater() && !base.pours():
		return "squeeze tube or treatment pump; it is too stiff for a dropper"
	case base.Kind == Oil || (base.Kind == Ready && !base.HasWater()):
		return "dropper or treatment pump; a mixing ball helps shaking"
	case base.Consistency == Thick:
		return "wide jar with a liner and a spatula, or a squeeze tube"
	}
	return "flip cap, squeeze tube or lotion pump"
}

func filling(req *Request, b *Batch) Filling {
	base := &req.Base
	f := Filling{Method: fillMethods[cmp.Or(base.Consistency, Runny)], Closure: cmp.Or(req.Closure, closureFor(base)), Asked: req.Containers, ContainerML: req.ContainerML,
		LossG: b.TotalG * req.LossPercent / 100, Closed: req.closed(), KeepStirring: base.YieldStress == 0 && len(req.Parts) > 0}
	usable := b.TotalG - f.LossG
	f.LeftoverG = usable
	if req.ContainerML > 0 {
		f.FillML = req.ContainerML * (1 + req.OverfillPercent/100)
		f.FillG = req.fillG(b)
		f.Filled = whole(usable / f.FillG)
		if req.Samples != nil { // made for over and above, with the jars
			f.Filled = min(f.Filled, req.Containers+f.Closed)
		}
		f.LeftoverG = max(0, usable-float64(f.Filled)*f.FillG)
		f.Kept = f.Closed + int(math.Ceil(max(0, req.jarsG(b)-f.LeftoverG)/f.FillG-1e-9))
	}
	f.Says = f.String()
	return f
}

// Fills is how many containers so many grams of the batch fill, as much of them lost on
// tools as of it; 0 where none are known.
func (b *Batch) Fills(grams float64) int {
	if b.Filling.FillG == 0 {
		return 0
	}
	return whole(grams * (1 - b.Filling.LossG/b.TotalG) / b.Filling.FillG)
}

// closed is how many filled containers are kept.
func (req *Request) closed() int {
	if req.Samples != nil {
		return *req.Samples
	}
	return keptClosed
}

// jarsG is what the jars of the stability log take, g.
func (req *Request) jarsG(b *Batch) float64 {
	if req.closed() == 0 {
		return 0
	}
	return float64(len(places)) * jarML * b.DensityGML
}

// ToUse is how many containers there are to sell or use, after those kept.
func (f Filling) ToUse() int { return max(0, f.Filled-f.Kept) }

// Opened is how many containers are emptied into the jars of the log.
func (f Filling) Opened() int { return max(0, f.Kept-f.Closed) }

// String says the filling in a few sentences.
func (f Filling) String() string { return strings.Join(tell("filling", f), " ") }

// whole is how many containers are filled, a millionth of one taken for rounding: more
// than the size of a batch leaves, and nothing that anybody sees.
func whole(containers float64) int { return int(math.Floor(containers + 1e-6)) }
