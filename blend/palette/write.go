package palette

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"tawny/blend/flake"
	"tawny/colour/table"
)

// ErrListed means a drawer already has a powder of that name.
var ErrListed = errors.New("already in the drawer")

// cells returns the powder's row of a drawer's file, column by column; figure
// writes a number.
func (g *Pigment) cells(figure func(float64) string) map[string]string {
	var inci, areas []string
	for _, i := range g.INCI {
		inci = append(inci, i.String())
	}
	for _, a := range g.Areas {
		areas = append(areas, string(a))
	}
	said := func(x float64) string {
		if x == 0 {
			return ""
		}
		return figure(x)
	}
	layers, substrate := "", ""
	if g.Spectrum == "" {
		substrate = figure(g.Substrate)
		if layers = flake.FormatLayers(g.Layers); layers == "" {
			layers = Bare
		}
	}
	return map[string]string{
		"name": g.Name, "family": g.Family, "inci": strings.Join(inci, ";"), "ci": strings.Join(g.CI, ";"),
		"layers": layers, "substrate_nm": substrate, "spectrum": g.Spectrum,
		"d10_um": figure(g.D10), "d50_um": figure(g.D50), "d90_um": figure(g.D90),
		"density_g_cm3": figure(g.Density), "bulk_g_ml": figure(g.BulkDensity), "oil_absorption_g_100g": figure(g.OilAbsorption),
		"price_per_g": figure(g.PricePerG), "stock_g": figure(g.StockG), "lot": g.Lot,
		"dispersion": said(g.Dispersion), "doubt": said(g.Doubt),
		"areas": strings.Join(areas, ";"), "source": string(g.Source),
	}
}

// Cell is one column of the powder's row.
func (g *Pigment) Cell(column string) string { return g.cells(new(table.File).Figure)[column] }

// Row returns the powder as one row of a drawer's file, in the order of
// the header.
func (g *Pigment) Row() []string {
	cells := g.cells(new(table.File).Figure)
	row := make([]string, len(drawerKind.Header))
	for i, c := range drawerKind.Header {
		row[i] = cells[c]
	}
	return row
}

// PutRow returns a drawer's file with the powder's row appended, or in the place
// of the row of the same name where replace is set; every other line is kept
// as it stands. An empty file becomes a new one. Without replace, a name
// already listed is ErrListed.
func PutRow(file []byte, g *Pigment, replace bool) ([]byte, error) {
	if len(bytes.TrimSpace(file)) == 0 {
		var out bytes.Buffer
		w := table.NewWriter(&out)
		w.Key("title", "a drawer of powders")
		w.Row(drawerKind.Header...)
		w.Row(g.Row()...)
		err := w.Flush()
		return out.Bytes(), err
	}
	f, line, err := findRow(file, g.Name)
	if err != nil {
		return nil, err
	}
	if line > 0 && !replace {
		return nil, fmt.Errorf("powder %q is %w", g.Name, ErrListed)
	}
	cells := g.cells(f.Figure)
	return f.Put(file, line, func(column string) string { return cells[column] })
}

// TakeRow returns a drawer's file without the row of a powder; every other line is
// kept as it stands.
func TakeRow(file []byte, name string) ([]byte, error) {
	f, line, err := findRow(file, name)
	if err != nil {
		return nil, err
	}
	if line == 0 {
		return nil, fmt.Errorf("powder %q is not in the drawer", table.Clip(name))
	}
	return f.Put(file, line, nil)
}

// findRow finds the line of a powder in a drawer's file, 0 for none.
func findRow(file []byte, name string) (f *table.File, line int, err error) {
	if f, err = table.Read("the drawer", bytes.NewReader(file), drawerKind); err != nil {
		return nil, 0, err
	}
	for _, r := range f.Rows {
		if strings.EqualFold(r.Fields[0], strings.TrimSpace(name)) {
			line = r.Line
		}
	}
	return f, line, nil
}
