package batch

import (
	"fmt"
	"io"
	"strings"
)

// Markdown writes the sheet as Markdown with task-list boxes.
func Markdown(w io.Writer, b *Batch) error {
	s := sheetOf(b)
	m := &markdown{}
	m.line("# Batch sheet: %s\n\n%s\n", cell(s.Heading), cell(s.Made))
	m.facts(s.Facts)
	for _, f := range s.Stops {
		m.line("\n> **%s**: %s", f.Name, cell(f.Value))
	}
	for _, one := range s.sections() {
		m.line("\n## %s", cell(one.Name))
		listed := false
		for _, b := range one.Blocks {
			item := b.Mark != ""
			if !item || !listed {
				m.line("")
			}
			m.block("", b)
			listed = item
		}
	}
	_, err := io.WriteString(w, m.String())
	return err
}

type markdown struct{ strings.Builder }

func (m *markdown) line(format string, a ...any) { fmt.Fprintf(&m.Builder, format+"\n", a...) }

// cell keeps a value from breaking a table or starting markup.
func cell(s string) string {
	return strings.NewReplacer(`\`, `\\`, "&", "&amp;", "|", `\|`, "*", `\*`, "_", `\_`, "<", "&lt;", "\n", " ", "\r", " ").Replace(s)
}

func (m *markdown) facts(facts []Fact) {
	for _, f := range facts {
		m.line("- **%s**: %s", f.Name, cell(f.Value))
	}
}

// listMarks are a block's marks as the start of a list's item.
var listMarks = map[string]string{tick: "- [ ] ", done: "- [x] ", care: "- **!** ", point: "- "}

func (m *markdown) block(indent string, b block) {
	text := cell(b.Text)
	if b.Strong {
		text = "**" + text + "**"
	}
	if b.Value != "" {
		text += ": " + b.Value
	}
	switch {
	case b.Table != nil:
		m.table(b.Table)
	case b.Facts != nil:
		m.facts(b.Facts)
	default:
		m.line("%s%s%s", indent, listMarks[b.Mark], text)
	}
	for _, u := range b.Under {
		if u.Mark == "" {
			m.line("")
		}
		m.block(indent+"  ", u)
	}
}

func (m *markdown) table(t *grid) {
	row := func(lead string, cells []string) {
		if t.Tick {
			cells = append([]string{lead}, cells...)
		}
		m.line("| %s |", strings.Join(cells, " | "))
	}
	row(tick, t.names())
	rule := "|"
	if t.Tick {
		rule += "---|"
	}
	for _, c := range t.Columns {
		rule += map[bool]string{true: "--:|", false: "---|"}[c.Right]
	}
	m.line("%s", rule)
	for _, r := range t.Rows {
		cells := make([]string, len(r.Cells))
		for i, c := range r.Cells {
			cells[i] = cell(c)
		}
		lead := r.mark()
		if r.Total {
			lead, cells[1] = "", "**"+cells[1]+"**"
		}
		if r.Note != "" {
			cells[1] += "<br>" + cell(r.Note)
		}
		row(lead, cells)
	}
}
