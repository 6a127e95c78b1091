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
	t.facts("", facts("base facts", b))
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

// FindingsText writes findings in a paragraph each, or that there are none.
func FindingsText(w io.Writer, fs []Finding) error {
	t := &textSheet{}
	if len(fs) == 0 {
		t.line("Nothing to mend.")
	}
	for _, f := range fs {
		where := ""
		if f.Line > 0 {
			where = fmt.Sprintf("line %d, %s: ", f.Line, f.About)
		}
		t.para(pad(strings.ToUpper(string(f.Severity))+":", 8)+" ", where+f.String())
	}
	t.para("", Deferral)
	_, err := io.WriteString(w, t.String())
	return err
}
