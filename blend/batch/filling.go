package batch

import (
	"fmt"
	"math"
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
	LeftoverG    float64 `json:"leftoverG"`        // after the containers, for the kept sample and the tests
	KeepStirring bool    `json:"keepStirring"`
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
	case base.Kind == Mist:
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
	how := base.Consistency
	if how == "" {
		how = Runny
	}
	f := Filling{Method: fillMethods[how], Closure: req.Closure, Asked: req.Containers, ContainerML: req.ContainerML,
		LossG: b.TotalG * req.LossPercent / 100, KeepStirring: base.YieldStress == 0 && len(req.Parts) > 0}
	if f.Closure == "" {
		f.Closure = closureFor(base)
	}
	usable := b.TotalG - f.LossG
	f.LeftoverG = usable
	if req.ContainerML > 0 {
		f.FillML = req.ContainerML * (1 + req.OverfillPercent/100)
		f.FillG = req.fillG(b)
		f.Filled = int(math.Floor(usable/f.FillG + 1e-9))
		f.LeftoverG = max(0, usable-float64(f.Filled)*f.FillG)
	}
	return f
}

// String says the filling in a sentence or two.
func (f Filling) String() string {
	s := fmt.Sprintf("Fill by: %s. Closure: %s.", f.Method, f.Closure)
	if f.ContainerML > 0 {
		s += fmt.Sprintf(" %d × %g ml at %.1f g each", f.Filled, f.ContainerML, f.FillG)
		s += fmt.Sprintf("; about %.1f g stays on the tools and %.1f g is left over.", f.LossG, f.LeftoverG)
	}
	return s
}
