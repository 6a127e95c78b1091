package batch

import (
	"embed"
	"fmt"
	"math"
	"strings"
	"sync"
	"text/template"

	"tawny/blend/batch/rules"
	"tawny/colour/skin"
)

//go:embed words/*.tmpl
var wordFiles embed.FS

// words are what a batch is told in: steps, cautions and labels. One line of
// them is one thing said.
var words = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("words").Funcs(template.FuncMap{
		"span": span, "line": oneLine, "blank": blank, "percent": percentText, "sig2": sig2, "count": count, "duration": duration, "twice": func(x float64) float64 { return 2 * x },
		"lower":    strings.ToLower,
		"join":     func(of []string) string { return oneLine(strings.Join(of, ", ")) },
		"money":    func(cents int64) string { return fmt.Sprintf("%.2f", float64(cents)/100) },
		"wearings": skin.WearingWords,
		"titania":  func() string { return titaniaSource },
		"deferral": func() string { return Deferral },
	}).ParseFS(wordFiles, "words/*.tmpl"))
})

// tell returns the lines that a template says of a product. The words are part
// of the build and all are told in the tests, so a fault in them is a
// programming error.
func tell(name string, of any) []string {
	var told strings.Builder
	if err := words().ExecuteTemplate(&told, name, of); err != nil {
		panic(err)
	}
	var out []string
	for line := range strings.SplitSeq(told.String(), "\n") {
		if line = strings.TrimSpace(line); line != "" {
			out = append(out, line)
		}
	}
	return out
}

// facts are told a line each, with a name before what is said.
func facts(name string, of any) []Fact {
	var out []Fact
	for _, line := range tell(name, of) {
		name, value, _ := strings.Cut(line, ": ")
		out = append(out, Fact{name, value})
	}
	return out
}

// oneLine keeps a name from beginning a line of its own, or a part of one.
func oneLine(s string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(s), " "), " | ", " / ")
}

// span writes a range without needless digits.
func span(r Range) string {
	if r.Low == r.High {
		return fmt.Sprintf("%g", r.High)
	}
	return fmt.Sprintf("%g–%g", r.Low, r.High)
}

// product is a batch as its words ask about it.
type product struct {
	*Batch
	Base *Base
	req  *Request
}

// Powders reports whether it holds any.
func (p product) Powders() bool { return len(p.req.Parts) > 0 }

// Breathed is the first powder that must not be breathed, "" for none.
func (p product) Breathed() string {
	for _, part := range p.req.Parts {
		if col := notBreathed(part.Pigment); col != nil {
			return col.Name()
		}
	}
	return ""
}

// nearPH is how far from one pH that is wanted a batch may lie, within the window its
// preservatives work in: what strips and drops can hit (common practice).
const nearPH = 0.3

// ph is the pH the base's file gives, with what is near it where that is one number,
// or, where it gives none, the window its preservatives work in; not stated where
// neither is known.
func (p product) ph() (wanted Range, given bool) {
	window := Range{Low: 0, High: 14}
	for _, l := range p.Weighings {
		for _, s := range l.subs {
			if k := rules.PreservativeOf(s.INCI); k != nil {
				window.Low, window.High = max(window.Low, k.PHLow), min(window.High, k.PHHigh)
			}
		}
	}
	if r := p.Base.PH; r.Stated() {
		if x := r.Low; x == r.High {
			r.Low, r.High = math.Round(100*max(x-nearPH, min(x, window.Low)))/100, math.Round(100*min(x+nearPH, max(x, window.High)))/100
		}
		return r, true
	}
	if window.High == 14 || window.Low > window.High {
		return Range{}, false
	}
	return window, false
}

// PHWanted says which pH is wanted.
func (p product) PHWanted() string {
	switch wanted, given := p.ph(); {
	case given:
		return "wanted " + span(wanted)
	case !wanted.Stated():
		return "not given: write it down"
	default:
		return "not given: the preservative works at " + span(wanted)
	}
}

// PHAsked is the lowest and the highest of it, "" where it is not known.
func (p product) PHAsked() string {
	if wanted, _ := p.ph(); wanted.Stated() {
		return fmt.Sprintf("%g %g", wanted.Low, wanted.High)
	}
	return ""
}

// Hot reports whether the base is heated.
func (p product) Hot() bool { return p.Base.HeatC.Stated() }

// Warmed reports whether any step warms the batch.
func (p product) Warmed() bool { return p.Hot() || (p.Kind == Ready && !p.Base.pours()) }

// Named is the first line with a role, "" for none.
func (p product) Named(r Role) string {
	for _, l := range p.Weighings {
		if l.Has(r) {
			return l.Name
		}
	}
	return ""
}
