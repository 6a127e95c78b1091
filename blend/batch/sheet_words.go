package batch

import (
	"fmt"
	"strconv"
	"strings"
)

// The words all sheets share, so that no two say a thing differently.

// Fact is one line of a sheet's heading.
type Fact struct {
	Name  string
	Value string
}

// Heading is the sheet's title.
func (b *Batch) Heading() string {
	if b.Title == "" {
		return b.Base
	}
	return b.Title + " in " + b.Base
}

// Facts are the lines under the heading.
func (b *Batch) Facts() []Fact {
	base := b.Base
	if b.BaseNote != "" {
		base += ": " + b.BaseNote
	}
	out := []Fact{
		{"base", base},
		{"batch", fmt.Sprintf("%s g, weighed on a balance that reads to %g g", b.Format(b.TotalSteps), b.BalanceG)},
		{"worn on", string(b.Area)},
	}
	if f := b.Filling; f.ContainerML > 0 {
		out = append(out, Fact{"fills", fmt.Sprintf("%d × %g ml", f.Filled, f.ContainerML)})
	}
	if b.LoadPercent > 0 {
		out = append(out, Fact{"load", fmt.Sprintf("%s %% w/w of powder", percentText(b.LoadPercent))})
	}
	if l := b.Look; l != nil {
		if l.Skin != "" {
			out = append(out, Fact{"skin", l.Skin})
		}
		if l.Target != "" {
			out = append(out, Fact{"target", l.Target})
		}
		if l.Lab != "" {
			v := fmt.Sprintf("%s, ΔE00 %.2f to the target", l.Lab, l.DeltaE00)
			if l.ApplyMgCm2 > 0 {
				v += fmt.Sprintf(", at %g mg/cm²", l.ApplyMgCm2)
			}
			if l.Source != "" {
				v += " (" + l.Source + ")"
			}
			out = append(out, Fact{"predicted", v})
		}
	}
	return out
}

// Heading is the step's title with its temperature and time.
func (s Step) Heading() string {
	var extra []string
	switch t := s.TempC; {
	case t.Low > 0 && t.High > 0:
		extra = append(extra, span(t)+" °C")
	case t.High > 0 && !strings.Contains(s.Title, "°C"):
		extra = append(extra, fmt.Sprintf("below %g °C", t.High))
	}
	if s.Minutes.High > 0 {
		extra = append(extra, span(s.Minutes)+" min")
	}
	if len(extra) == 0 {
		return s.Title
	}
	return s.Title + " (" + strings.Join(extra, ", ") + ")"
}

// String says the vessel in a line.
func (v Vessel) String() string {
	s := fmt.Sprintf("%d ml: %s", v.ML, v.For)
	if v.ML >= 10000 {
		s = fmt.Sprintf("%g l: %s", float64(v.ML)/1000, v.For)
	}
	if v.Why != "" {
		s += " (" + v.Why + ")"
	}
	return s
}

// String says how to make and use the premix.
func (p Premix) String() string {
	return fmt.Sprintf("too little %s to weigh well. Rub %g g of it down with %g g of %s (1 in %d); put %g g of that in instead, and %g g less of the %s. Label the rest; use it the same day. Error then about ± %.1f %%.",
		p.Powder, p.PowderG, p.CarrierG, p.Carrier, p.Parts, p.TakeG, p.LessG, p.Carrier, p.ErrorPct)
}

// percentText writes a percentage with four significant digits, no
// exponent, no trailing noughts.
func percentText(v float64) string {
	s := strconv.FormatFloat(v, 'g', 4, 64)
	if strings.Contains(s, "e") {
		s = strconv.FormatFloat(v, 'f', 6, 64)
	}
	return s
}
