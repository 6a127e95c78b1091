package batch

import (
	"fmt"
	"math"
	"slices"
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
func (b *Batch) Facts() []Fact { return facts("batch facts", b) }

// Heading is the step's title with its temperature and time.
func (s Step) Heading() string {
	var when []string
	switch t := s.TempC; {
	case t.Low > 0 && t.High > 0:
		when = append(when, span(t)+" °C")
	case t.High > 0 && !strings.Contains(s.Title, "°C"):
		when = append(when, fmt.Sprintf("below %g °C", t.High))
	}
	if s.Minutes.High > 0 {
		when = append(when, span(s.Minutes)+" min")
	}
	if when == nil {
		return s.Title
	}
	return s.Title + " (" + strings.Join(when, ", ") + ")"
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

// String says what the premix does; its step says how to make it.
func (p Premix) String() string {
	return fmt.Sprintf("%s, 1 in %d in %s: the weights above are with it, and the powder then weighs within about %.1f %%.", p.Powder, p.Parts, p.Carrier, p.ErrorPct)
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

// Markets lists the labels in the order sheets print them; of no label none.
func (l *Label) Markets() []NamedLabel {
	if l == nil {
		return nil
	}
	return []NamedLabel{{"European Union", l.EU}, {"United States", l.US}}
}

// Facts says the cost in lines. The parts shown sum to the total shown.
func (c *Cost) Facts() []Fact {
	shown, total := cents(c.Powders, c.Base, c.Packing, c.Labour)
	return facts("cost facts", struct {
		*Cost
		PartNames []string
		Parts     []int64
		Sum       int64
	}{c, []string{"powders", "base", "packing", "labour and so on"}, shown, total})
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
