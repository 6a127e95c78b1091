package batch

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// textWidth is the sheet's width in columns: a narrow terminal, or A4 in a
// fixed-width type.
const textWidth = 78

// Text writes the sheet for a terminal or a plain printer.
func Text(w io.Writer, b *Batch) error {
	t := &textSheet{b: b}
	t.heading()
	t.stops()
	t.weighings()
	t.work()
	t.rest()
	_, err := io.WriteString(w, t.String())
	return err
}

type textSheet struct {
	strings.Builder
	b *Batch
}

func (t *textSheet) line(format string, a ...any) {
	t.WriteString(strings.TrimRight(fmt.Sprintf(format, a...), " ") + "\n")
}

// para wraps text to the width with a hanging indent after the lead.
func (t *textSheet) para(lead, text string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(lead))
	for i, l := range wrap(text, textWidth-len(indent)) {
		if i == 0 {
			t.line("%s%s", lead, l)
		} else {
			t.line("%s%s", indent, l)
		}
	}
}

func (t *textSheet) section(name string) { t.line("\n%s", strings.ToUpper(name)) }

func (t *textSheet) heading() {
	b := t.b
	t.line("BATCH SHEET  %s", b.Heading())
	t.line("%s", strings.Repeat("=", textWidth))
	t.line("batch code %s   made on %s   by ____________", blank(b.Code, 14), blank(b.Date, 12))
	for _, f := range b.Facts() {
		t.para(pad(f.Name, 13)+" ", f.Value)
	}
}

// stops come before the weights: what must not be made or sold like this.
func (t *textSheet) stops() {
	for _, f := range t.b.Checkable() {
		t.para(strings.ToUpper(string(f.Severity))+": ", f.Text+" ["+f.Source+"]")
	}
}

func (t *textSheet) weighings() {
	b := t.b
	t.section("weights")
	t.line("  %-8s %-34s %9s %11s  %s", "phase", "ingredient", "% w/w", "g", "lot")
	for _, l := range b.Weighings {
		name := l.Name
		if l.Filler {
			name += " *"
		}
		first := true
		for _, part := range wrap(name, 34) {
			if first {
				t.line("☐ %-8s %s %9s %11s  %s", l.Phase, pad(part, 34), percentText(l.Weighed), b.Format(l.Steps), blank(l.Lot, 8))
				first = false
			} else {
				t.line("  %-8s %s", "", part)
			}
		}
		if l.Note != "" {
			t.para("           ! ", l.Note)
		}
	}
	t.line("  %-8s %s %9s %11s", "", pad("total", 34), "100", b.Format(b.TotalSteps))
	for _, l := range b.Weighings {
		if l.Filler {
			t.para("  * ", l.Name+" gives way to the powders and other additions.")
		}
	}
	for _, p := range b.Premixes {
		t.para("  Premix: ", p.String())
	}
	for _, n := range b.Notes {
		t.para("  Note: ", n)
	}
}

func (t *textSheet) work() {
	b := t.b
	t.section("before you start")
	for _, v := range b.Vessels {
		t.para("☐ ", v.String())
	}
	for _, c := range b.CautionsFor(WhenBuying, WhenMaking) {
		t.para("! ", c.Text)
	}
	t.section("steps")
	for _, s := range b.Steps {
		t.para(fmt.Sprintf("☐ %2d. ", s.Number), s.Heading())
		for _, d := range s.Do {
			t.para("      ", d)
		}
		for _, w := range s.Weights {
			for i, part := range wrap(w.Name, 34) {
				if i == 0 {
					t.line("      ☐ %s %11s g  %s", pad(part, 34), b.Format(w.Steps), w.Part)
				} else {
					t.line("        %s", part)
				}
			}
		}
		for _, r := range s.Readings {
			t.line("      %s %s", r.What+":", blank("", 10)+" "+r.Unit)
		}
	}
}

func (t *textSheet) rest() {
	b := t.b
	t.section("filling")
	t.para("  ", b.Filling.String())
	if s := b.Suspension; s != nil {
		t.para("  ", s.Text)
		for _, r := range s.Remedies {
			t.para("  · ", r)
		}
	}
	for _, f := range b.Powders {
		t.para("  · ", f.String())
	}
	t.section("wearing and selling")
	for _, c := range b.CautionsFor(WhenFilling, WhenSelling, WhenWearing) {
		t.para("! ", c.Text)
	}
	for _, f := range b.Advice() {
		t.para("· ", f.Text+" ["+f.Source+"]")
	}
	t.labels()
	t.cost()
	t.log()
}

func (t *textSheet) labels() {
	for _, m := range t.b.Label.Markets() {
		t.section("label, " + m.Name + " (" + m.Text.Source + ")")
		t.para("  ", m.Text.Product+"   "+m.Text.Net)
		t.para("  ", m.Text.Ingredients)
		for _, l := range m.Text.Lines {
			t.para("  ", l)
		}
		t.para("  ", strings.Join(m.Text.Cautions, " "))
		for _, n := range m.Text.Notes {
			t.para("  Not printed: ", n)
		}
	}
}

func (t *textSheet) cost() {
	c := t.b.Cost
	if c == nil {
		return
	}
	t.section("cost " + c.Currency)
	for _, f := range c.Facts() {
		t.para("  "+pad(f.Name, 16)+" ", f.Value)
	}
}

func (t *textSheet) log() {
	t.section("stability log")
	t.para("  ", Keep)
	for _, r := range t.b.Log {
		cells := make([]string, len(r.Looks))
		for i, l := range r.Looks {
			cells[i] = l + " ______"
		}
		t.line("  day %-3d %-14s %s", r.Day, r.Place, strings.Join(cells, "  "))
	}
}

// pad fills a string to n columns; longer ones are left whole.
func pad(s string, n int) string {
	if d := n - utf8.RuneCountInString(s); d > 0 {
		return s + strings.Repeat(" ", d)
	}
	return s
}

// blank is the text, or a line to write on.
func blank(s string, n int) string {
	if s == "" {
		return strings.Repeat("_", n)
	}
	return s
}

// wrap breaks text at spaces to lines of at most n columns.
func wrap(s string, n int) []string {
	return wrapBy(s, func(line string) bool { return utf8.RuneCountInString(line) <= n })
}

// wrapBy breaks text at spaces to lines that fit, and a word that does not fit
// on a line of its own between its letters. There is always one line.
func wrapBy(s string, fits func(line string) bool) []string {
	var out []string
	cur := ""
	for _, word := range strings.Fields(s) {
		if cur != "" && fits(cur+" "+word) {
			cur += " " + word
			continue
		}
		if cur != "" {
			out = append(out, cur)
		}
		for cur = word; !fits(cur); {
			r := []rune(cur)
			n := 1
			for n+1 < len(r) && fits(string(r[:n+1])) {
				n++
			}
			if n == len(r) {
				break
			}
			out = append(out, string(r[:n]))
			cur = string(r[n:])
		}
	}
	return append(out, cur)
}
