package batch

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"tawny/colour/skin"
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
		if b.Look != nil && b.Look.ApplyMgCm2 > 0 {
			out = append(out, Fact{"each holds", "enough for " + skin.WearingWords(f.FillG, b.Look.ApplyMgCm2)})
		}
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
			v := l.Lab
			if l.Target != "" {
				v += fmt.Sprintf(", ΔE00 %.2f to the target", l.DeltaE00)
			}
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
	if w := s.when(); w != "" {
		return s.Title + " (" + w + ")"
	}
	return s.Title
}

// when says the step's temperature and time.
func (s Step) when() string {
	var out []string
	switch t := s.TempC; {
	case t.Low > 0 && t.High > 0:
		out = append(out, span(t)+" °C")
	case t.High > 0 && !strings.Contains(s.Title, "°C"):
		out = append(out, fmt.Sprintf("below %g °C", t.High))
	}
	if s.Minutes.High > 0 {
		out = append(out, span(s.Minutes)+" min")
	}
	return strings.Join(out, ", ")
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

// String says what the premix does to the weights; its step says how to make
// it.
func (p Premix) String() string {
	return fmt.Sprintf("%s, 1 in %d in %s: %g g instead of the powder, and %g g less %s; error then about ± %.1f %%.",
		p.Powder, p.Parts, p.Carrier, p.TakeG, p.LessG, p.Carrier, p.ErrorPct)
}

// Name is the premix's.
func (p Premix) Name() string { return fmt.Sprintf("%s premix, 1 in %d", p.Powder, p.Parts) }

// percentText writes a percentage with four significant digits, no
// exponent, no trailing noughts.
func percentText(v float64) string {
	s := strconv.FormatFloat(v, 'g', 4, 64)
	if strings.Contains(s, "e") {
		s = strconv.FormatFloat(v, 'f', 6, 64)
	}
	return s
}

// NamedLabel is one market's label with its name.
type NamedLabel struct {
	Name string
	Text LabelText
}

// Markets lists the labels in the order sheets print them.
func (l *Label) Markets() []NamedLabel {
	return []NamedLabel{{"European Union", l.EU}, {"United States", l.US}}
}

// Facts says the cost in lines. The parts shown sum to the total shown.
func (c *Cost) Facts() []Fact {
	m := func(v float64) string { return fmt.Sprintf("%.2f", v) }
	shown, total := cents(c.Powders, c.Base, c.Packing, c.Labour)
	var out []Fact
	for i, name := range []string{"powders", "base", "packing", "labour and so on"} {
		out = append(out, Fact{name, m(float64(shown[i]) / 100)})
	}
	out = append(out, Fact{"batch", m(float64(total) / 100)})
	if c.PerContainer > 0 {
		out = append(out, Fact{"each container", m(c.PerContainer)})
		if c.Price > 0 {
			out = append(out, Fact{"price", fmt.Sprintf("%.2f each for the %d to sell, at a margin of %g %% of the price", c.Price, c.Sold, c.MarginPercent)})
		} else {
			out = append(out, Fact{"price", "none: every container is kept"})
		}
		out = append(out, Fact{"yield", fmt.Sprintf("%.1f %% of the batch is in containers, by nominal content", c.YieldPercent)})
	}
	if len(c.FromDrawer) > 0 {
		out = append(out, Fact{"from the drawer", "no row in the list, priced by the palette: " + strings.Join(c.FromDrawer, ", ")})
	}
	if len(c.Missing) > 0 {
		out = append(out, Fact{"not priced", strings.Join(c.Missing, ", ") + "; the true cost is higher"})
	}
	if len(c.Unused) > 0 {
		out = append(out, Fact{"rows not used", strings.Join(c.Unused, ", ")})
	}
	return out
}

// findings are those of some severities.
func (b *Batch) findings(of ...Severity) []Finding {
	return slices.DeleteFunc(slices.Clone(b.Findings), func(f Finding) bool { return !slices.Contains(of, f.Severity) })
}

// String says the finding and what it rests on.
func (f Finding) String() string { return f.Text + " (" + f.Source + ")" }

// CautionsFor lists the cautions of some moments of the work.
func (b *Batch) CautionsFor(moments ...When) []Caution {
	return slices.DeleteFunc(slices.Clone(b.Cautions), func(c Caution) bool { return !slices.Contains(moments, c.When) })
}

// sig2 writes a figure with two significant digits and no exponent.
func sig2(v float64) string {
	if v == 0 {
		return "0"
	}
	d := 1 - int(math.Floor(math.Log10(math.Abs(v))))
	p := math.Pow(10, float64(d))
	return strconv.FormatFloat(math.Round(v*p)/p, 'f', max(0, d), 64)
}
