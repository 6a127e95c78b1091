package batch

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"tawny/colour/table"
)

// SheetWeight is one weighing as a sheet shows it.
type SheetWeight struct {
	Phase Phase
	Name  string
	Grams string // with the balance's digits
}

// ReadSheet reads the weights back from a Markdown sheet, so that a sheet
// kept in a notebook can be compared with what is computed today. It checks
// that the total is the sum of the lines. No command needs it yet; the tests
// hold every sheet to it.
func ReadSheet(r io.Reader, name string) (weights []SheetWeight, total string, err error) {
	sc := bufio.NewScanner(r)
	sc.Buffer(nil, table.MaxBytes)
	line, in, sum := 0, false, int64(0)
	fault := func(problem, accept string) error {
		return &table.Error{File: name, Line: line, Problem: problem, Accept: accept}
	}
	for sc.Scan() {
		line++
		s := strings.TrimSpace(sc.Text())
		if strings.HasPrefix(s, "| ☐ | phase |") {
			in = true
			continue
		}
		if !in || strings.HasPrefix(s, "|---") {
			continue
		}
		if !strings.HasPrefix(s, "|") {
			break
		}
		f := splitRow(s)
		if len(f) != 6 {
			return nil, "", fault(fmt.Sprintf("%d cells in a row of weights", len(f)), "six: box, phase, ingredient, % w/w, g, lot")
		}
		steps, err := decimalUnits(f[4])
		if err != nil {
			return nil, "", fault(err.Error(), "grams such as 12.30")
		}
		if f[2] == "**total**" {
			total = f[4]
			if steps != sum {
				return nil, "", fault("the total is not the sum of the weights", "an unaltered sheet")
			}
			return weights, total, nil
		}
		sum += steps
		label, _, _ := strings.Cut(f[2], "<br>")
		label = strings.TrimSuffix(label, ` \*`)
		weights = append(weights, SheetWeight{Phase(f[1]), uncell(label), f[4]})
	}
	if err := sc.Err(); err != nil {
		return nil, "", fmt.Errorf("%s: %w", name, err)
	}
	return nil, "", fault("no whole table of weights", "a batch sheet in Markdown")
}

// splitRow splits a table row at the bars that are not escaped.
func splitRow(s string) []string {
	s = strings.TrimSuffix(strings.TrimPrefix(s, "|"), "|")
	var out []string
	cur := strings.Builder{}
	for i := 0; i < len(s); i++ {
		switch {
		case s[i] == '\\' && i+1 < len(s):
			cur.WriteByte(s[i])
			i++
			cur.WriteByte(s[i])
		case s[i] == '|':
			out = append(out, strings.TrimSpace(cur.String()))
			cur.Reset()
		default:
			cur.WriteByte(s[i])
		}
	}
	return append(out, strings.TrimSpace(cur.String()))
}

// uncell undoes cell.
func uncell(s string) string {
	return strings.NewReplacer(`\|`, "|", `\*`, "*", `\_`, "_", "&lt;", "<", "&amp;", "&", `\\`, `\`).Replace(s)
}

// decimalUnits reads "12.30" as whole ten-thousandths of a gram, exactly.
func decimalUnits(s string) (int64, error) {
	whole, frac, _ := strings.Cut(s, ".")
	if len(frac) > 4 || strings.HasPrefix(s, "-") || strings.HasPrefix(s, "+") {
		return 0, fmt.Errorf("%q is not a weight", s)
	}
	v, err := strconv.ParseInt(whole+frac+strings.Repeat("0", 4-len(frac)), 10, 64)
	if err != nil || whole == "" {
		return 0, fmt.Errorf("%q is not a weight", s)
	}
	return v, nil
}
