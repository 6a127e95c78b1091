package reading

import (
	"encoding/csv"
	"fmt"
	"strings"
)

// parseCSV reads '#' lines, one header, and rows. The header settles the
// delimiter: a tab if it has one, else a semicolon, else a comma; with the
// first two a comma inside a number is a decimal comma.
func parseCSV(file string, lines []string) ([]Sample, Notes, error) {
	t := &table{file: file, keys: keys{}, labDefault: "D65"}
	var delimiter rune
	headerLine := 0
	for i, line := range lines {
		n := i + 1
		trimmed := strings.TrimSpace(line)
		if trimmed == "" {
			continue
		}
		if strings.HasPrefix(trimmed, "#") {
			t.keys.comment(trimmed, n)
			continue
		}
		if headerLine == 0 {
			headerLine = n
			delimiter = delimiterOf(trimmed)
			t.decimalComma = delimiter != ','
			cells, err := splitLine(line, delimiter)
			if err != nil {
				return nil, nil, t.fault(n, "%v", err)
			}
			if isLong(cells) {
				return parseLong(t, lines, i, delimiter)
			}
			for _, c := range cells {
				t.columns = append(t.columns, readHeader(c))
			}
			if err := t.check(n); err != nil {
				return nil, nil, err
			}
			if !t.holdsColour() {
				return nil, nil, t.fault(n, "the header %q names no colour; %s is accepted", shorten(trimmed), accepted)
			}
			continue
		}
		cells, err := splitLine(line, delimiter)
		if err != nil {
			return nil, nil, t.fault(n, "%v", err)
		}
		if allEmpty(cells) {
			continue // a spreadsheet's blank row: ;;;;
		}
		for len(cells) > len(t.columns) && cells[len(cells)-1] == "" {
			cells = cells[:len(cells)-1]
		}
		if len(cells) != len(t.columns) {
			return nil, nil, t.fault(n, "%d cells; the header on line %d has %d columns", len(cells), headerLine, len(t.columns))
		}
		t.rows = append(t.rows, row{n, cells})
	}
	if headerLine == 0 {
		return nil, nil, fmt.Errorf("%s is empty; %s is accepted", file, accepted)
	}
	if len(t.rows) == 0 {
		return nil, nil, t.fault(headerLine, "no samples follow the header; one row for each sample is accepted")
	}
	var notes Notes
	samples, err := t.samples(&notes)
	if err != nil {
		return nil, nil, err
	}
	return samples, notes, nil
}

// delimiterOf chooses by what stands outside quotes.
func delimiterOf(line string) rune {
	quoted := false
	var tab, semicolon bool
	for _, r := range line {
		switch {
		case r == '"':
			quoted = !quoted
		case quoted:
		case r == '\t':
			tab = true
		case r == ';':
			semicolon = true
		}
	}
	switch {
	case tab:
		return '\t'
	case semicolon:
		return ';'
	}
	return ','
}

// splitLine splits one line, with quotes as RFC 4180 has them, and trims.
func splitLine(line string, delimiter rune) ([]string, error) {
	var cells []string
	if !strings.Contains(line, `"`) {
		cells = strings.Split(line, string(delimiter))
	} else {
		r := csv.NewReader(strings.NewReader(line))
		r.Comma = delimiter
		r.TrimLeadingSpace = delimiter != '\t'
		var err error
		if cells, err = r.Read(); err != nil {
			return nil, fmt.Errorf("the quotes do not close; text in quotes must end on its own line, with \"\" for a quote inside")
		}
	}
	for i := range cells {
		cells[i] = strings.TrimSpace(cells[i])
	}
	return cells, nil
}

func allEmpty(cells []string) bool {
	for _, c := range cells {
		if c != "" {
			return false
		}
	}
	return true
}

// shorten keeps an error to one line.
func shorten(s string) string {
	const most = 60
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most]) + "…"
}
