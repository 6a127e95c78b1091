package batch

import (
	"fmt"
	"io"
	"strings"
)

// Markdown writes the sheet as Markdown with task-list boxes.
func Markdown(w io.Writer, b *Batch) error {
	m := &markdown{b: b}
	m.head()
	m.weights()
	m.work()
	m.rest()
	_, err := io.WriteString(w, m.String())
	return err
}

type markdown struct {
	strings.Builder
	b *Batch
}

func (m *markdown) line(format string, a ...any) { fmt.Fprintf(&m.Builder, format+"\n", a...) }

// cell keeps a value from breaking a table or starting markup.
func cell(s string) string {
	return strings.NewReplacer(`\`, `\\`, "&", "&amp;", "|", `\|`, "*", `\*`, "_", `\_`, "<", "&lt;", "\n", " ", "\r", " ").Replace(s)
}

func (m *markdown) head() {
	b := m.b
	m.line("# Batch sheet: %s\n", cell(b.Heading()))
	m.line("Batch code %s, made on %s, by \\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\n", mdBlank(b.Code), mdBlank(b.Date))
	for _, f := range b.Facts() {
		m.line("- **%s**: %s", f.Name, cell(f.Value))
	}
	for _, f := range b.Checkable() {
		m.line("\n> **%s**: %s (%s)", strings.ToUpper(string(f.Severity)), cell(f.Text), cell(f.Source))
	}
}

func mdBlank(s string) string {
	if s == "" {
		return `\_\_\_\_\_\_\_\_`
	}
	return cell(s)
}

func (m *markdown) weights() {
	b := m.b
	m.line("\n## Weights\n")
	m.line("| ☐ | phase | ingredient | %% w/w | g | lot |")
	m.line("|---|---|---|--:|--:|---|")
	for _, l := range b.Weighings {
		name := cell(l.Name)
		if l.Filler {
			name += ` \*`
		}
		if l.Note != "" {
			name += "<br>" + cell(l.Note)
		}
		m.line("| ☐ | %s | %s | %s | %s | %s |", l.Phase, name, percentText(l.Weighed), b.Format(l.Steps), cell(l.Lot))
	}
	m.line("| | | **total** | 100 | %s | |", b.Format(b.TotalSteps))
	m.line("")
	for _, l := range b.Weighings {
		if l.Filler {
			m.line("\\* %s gives way to the powders and other additions.\n", cell(l.Name))
		}
	}
	for _, p := range b.Premixes {
		m.line("- Premix: %s", cell(p.String()))
	}
	for _, n := range b.Notes {
		m.line("- Note: %s", cell(n))
	}
}

func (m *markdown) work() {
	b := m.b
	m.line("\n## Before you start\n")
	for _, v := range b.Vessels {
		m.line("- [ ] %s", cell(v.String()))
	}
	for _, c := range b.CautionsFor(WhenBuying, WhenMaking) {
		m.line("- **!** %s", cell(c.Text))
	}
	m.line("\n## Steps\n")
	for _, s := range b.Steps {
		m.line("%d. [ ] **%s**", s.Number, cell(s.Heading()))
		m.line("   %s", cell(strings.Join(s.Do, " ")))
		for _, w := range s.Weights {
			part := ""
			if w.Part != "" {
				part = " (" + w.Part + ")"
			}
			m.line("   - [ ] %s: %s g%s", cell(w.Name), b.Format(w.Steps), part)
		}
		for _, r := range s.Readings {
			m.line("   - %s: \\_\\_\\_\\_\\_\\_ %s", cell(r.What), r.Unit)
		}
	}
}

func (m *markdown) rest() {
	b := m.b
	m.line("\n## Filling\n\n%s\n", cell(b.Filling.String()))
	if s := b.Suspension; s != nil {
		m.line("%s\n", cell(s.Text))
		for _, r := range s.Remedies {
			m.line("- %s", cell(r))
		}
	}
	for _, f := range b.Powders {
		m.line("- %s", cell(f.String()))
	}
	m.line("\n## Wearing and selling\n")
	for _, c := range b.CautionsFor(WhenFilling, WhenSelling, WhenWearing) {
		m.line("- **!** %s", cell(c.Text))
	}
	for _, f := range b.Advice() {
		m.line("- %s (%s)", cell(f.Text), cell(f.Source))
	}
	for _, l := range b.Label.Markets() {
		m.line("\n## Label, %s (%s)\n", l.Name, cell(l.Text.Source))
		m.line("%s, %s\n\n%s\n", cell(l.Text.Product), cell(l.Text.Net), cell(l.Text.Ingredients))
		for _, s := range l.Text.Lines {
			m.line("%s  ", cell(s))
		}
		m.line("\n%s\n", cell(strings.Join(l.Text.Cautions, " ")))
		for _, n := range l.Text.Notes {
			m.line("- Not printed: %s", cell(n))
		}
	}
	if c := b.Cost; c != nil {
		m.line("\n## Cost %s\n", cell(c.Currency))
		for _, f := range c.Facts() {
			m.line("- %s: %s", f.Name, cell(f.Value))
		}
	}
	m.line("\n## Stability log\n\n%s\n", cell(Keep))
	looks := b.Log[0].Looks
	m.line("| day | place | %s |", strings.Join(looks, " | "))
	m.line("|--:|---|%s", strings.Repeat("---|", len(looks)))
	for _, r := range b.Log {
		m.line("| %d | %s |%s", r.Day, r.Place, strings.Repeat("  |", len(looks)))
	}
}
