package palette

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"tawny/blend/flake"
)

// ErrListed means a drawer already has a powder of that name.
var ErrListed = errors.New("already in the drawer")

// Row returns the powder as one row of a palette file, in the header's order.
func (g *Pigment) Row() []string {
	var inci, areas []string
	for _, i := range g.INCI {
		inci = append(inci, i.INCI+"="+number(i.Percent))
	}
	for _, a := range g.Areas {
		areas = append(areas, string(a))
	}
	layers, substrate := "", ""
	if g.Spectrum == "" {
		substrate = number(g.Substrate)
		if layers = flake.FormatLayers(g.Layers); layers == "" {
			layers = Bare
		}
	}
	return []string{
		g.Name, g.Family, strings.Join(inci, ";"), strings.Join(g.CI, ";"), layers, substrate, g.Spectrum,
		number(g.D10), number(g.D50), number(g.D90), number(g.Density), number(g.BulkDensity), number(g.OilAbsorption),
		number(g.PricePerG), number(g.StockG), g.Lot, strings.Join(areas, ";"), string(g.Source),
	}
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', 8, 64) }

// PutRow returns a palette file with the powder's row appended, or in the place
// of the row of the same name where replace is set; every other line is kept
// as it stands. An empty file becomes a new one. Without replace, a name
// already listed is ErrListed.
//
// file must be a palette ParsePalette accepts, and so is the result.
func PutRow(file []byte, g *Pigment, replace bool) ([]byte, error) {
	var row bytes.Buffer
	w := csv.NewWriter(&row)
	if err := w.Write(g.Row()); err != nil {
		return nil, err
	}
	w.Flush()
	if len(bytes.TrimSpace(file)) == 0 {
		return []byte("# title: a drawer of powders\n" + paletteHeader + "\n" + row.String()), nil
	}
	start, end, found, err := findRow(file, g.Name)
	if err != nil {
		return nil, err
	}
	if found && !replace {
		return nil, fmt.Errorf("powder %q is %w", g.Name, ErrListed)
	}
	if !found {
		start, end = len(file), len(file)
	}
	var out bytes.Buffer
	out.Write(file[:start])
	if start > 0 && file[start-1] != '\n' {
		out.WriteByte('\n')
	}
	out.Write(row.Bytes())
	out.Write(file[end:])
	return out.Bytes(), nil
}

// findRow returns where the row of a powder begins and ends in a palette file.
func findRow(file []byte, name string) (start, end int, found bool, err error) {
	// Comment lines go first, so that the reader's offsets are the file's.
	skip := 0
	for rest := file; len(rest) > 0; {
		line, after, _ := bytes.Cut(rest, []byte("\n"))
		text := strings.TrimSpace(strings.TrimPrefix(string(line), "\ufeff"))
		if text != "" && !strings.HasPrefix(text, "#") {
			break
		}
		skip, rest = len(file)-len(after), after
	}
	r := csv.NewReader(bytes.NewReader(file[skip:]))
	r.FieldsPerRecord, r.TrimLeadingSpace = -1, true
	for header := true; ; header = false {
		at := skip + int(r.InputOffset())
		record, err := r.Read()
		if err == io.EOF {
			return 0, 0, false, nil
		}
		if err != nil {
			return 0, 0, false, err
		}
		if !header && strings.EqualFold(strings.TrimSpace(record[0]), strings.TrimSpace(name)) {
			return at, skip + int(r.InputOffset()), true, nil
		}
	}
}
