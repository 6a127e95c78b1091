package batch

import (
	"fmt"
	"io"
	"strings"
)

// BasesText lists bases in a line or two each.
func BasesText(w io.Writer, bases []Base) error {
	t := &textSheet{}
	for _, b := range bases {
		t.line("%s %-8s %s", pad(b.Name, 22), b.Kind, strings.TrimSuffix(b.File, ".csv"))
		if b.Note != "" {
			t.para("    ", b.Note)
		}
	}
	_, err := io.WriteString(w, t.String())
	return err
}

// BaseText shows one base: its facts and its ingredients by phase.
func BaseText(w io.Writer, b Base) error {
	t := &textSheet{}
	t.line("%s (%s)", b.Name, b.Kind)
	for _, f := range b.facts() {
		t.para(pad(f.Name, 14)+" ", f.Value)
	}
	phase := Phase("")
	for _, in := range b.Ingredients {
		if in.Phase != phase {
			phase = in.Phase
			t.line("\n%s", strings.ToUpper(string(phase)))
		}
		percent, extra := percentText(in.Percent), []string{list(in.Roles)}
		if b.Kind == Ready {
			percent = ""
		}
		if in.AddBelowC > 0 {
			extra = append(extra, fmt.Sprintf("below %g °C", in.AddBelowC))
		}
		if in.Usual.Stated() {
			extra = append(extra, fmt.Sprintf("usual %s %% of the %s", span(in.Usual), in.UsualOf))
		}
		if in.HLB > 0 {
			extra = append(extra, fmt.Sprintf("HLB %g", in.HLB))
		}
		t.line("  %s %8s", pad(in.Name, 40), percent)
		t.para("      ", in.INCI)
		if s := strings.Trim(strings.Join(extra, "; "), "; "); s != "" {
			t.para("      ", s)
		}
	}
	if b.Kind != Ready {
		t.line("\n  %s %8s", pad("total", 40), percentText(b.Sum()))
	}
	_, err := io.WriteString(w, t.String())
	return err
}

func (b *Base) facts() []Fact {
	out := []Fact{{"note", b.Note}, {"source", b.Source}, {"density", fmt.Sprintf("%g g/ml", b.Density)}, {"consistency", string(b.Consistency)}}
	if b.Viscosity > 0 {
		out = append(out, Fact{"viscosity", fmt.Sprintf("%g Pa·s", b.Viscosity)})
	}
	if b.YieldStress > 0 {
		out = append(out, Fact{"yield stress", fmt.Sprintf("%g Pa", b.YieldStress)})
	}
	if b.PH.Stated() {
		out = append(out, Fact{"pH", span(b.PH)})
	}
	if b.HeatC.Stated() {
		out = append(out, Fact{"heated to", fmt.Sprintf("%s °C for %g min", span(b.HeatC), b.HoldMinutes)})
	}
	if b.Kind == Ready {
		out = append(out, Fact{"no hotter than", fmt.Sprintf("%g °C", b.WarmMaxC)}, Fact{"most added", fmt.Sprintf("%g %% of the finished product", b.MaxAddPercent)})
	}
	out = append(out, Fact{"worn on", list(b.Areas)})
	kept := out[:0]
	for _, f := range out {
		if f.Value != "" {
			kept = append(kept, f)
		}
	}
	return kept
}

// FindingsText writes findings in a paragraph each, or that there are none.
func FindingsText(w io.Writer, fs []Finding) error {
	t := &textSheet{}
	if len(fs) == 0 {
		t.line("Nothing to mend.")
	}
	for _, f := range fs {
		where := ""
		if f.Line > 0 {
			where = fmt.Sprintf("line %d: ", f.Line)
		}
		t.para(pad(strings.ToUpper(string(f.Severity))+":", 8)+" ", where+f.String())
	}
	t.para("", Deferral)
	_, err := io.WriteString(w, t.String())
	return err
}
