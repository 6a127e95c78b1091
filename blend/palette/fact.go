package palette

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"tawny/colour/table"
)

// Set reads what a drawer or a file of drawdowns says of the powder in one
// column: family, inci, ci, areas, source, lot, or a number. What is wrong comes
// without a place, which its reader knows.
func (g *Pigment) Set(column, text string) *table.Error {
	fault := func(problem, accept string) *table.Error {
		return &table.Error{Field: column, Problem: problem, Accept: accept}
	}
	for _, n := range []struct {
		column    string
		to        *float64
		low, high float64
	}{
		{"d10_um", &g.D10, 0.001, 2000},
		{"d50_um", &g.D50, 0.001, 2000},
		{"d90_um", &g.D90, 0.001, 2000},
		{"density_g_cm3", &g.Density, 0.5, 10},
		{"bulk_g_ml", &g.BulkDensity, 0.02, 5},
		{"oil_absorption_g_100g", &g.OilAbsorption, 5, 500},
		{"price_per_g", &g.PricePerG, 0, 1e6},
		{"stock_g", &g.StockG, 0, 1e9},
		{"dispersion", &g.Dispersion, 0.01, 1},
		{"doubt", &g.Doubt, 0, 1},
		{"substrate_nm", &g.Substrate, 50, 5000},
	} {
		if n.column != column {
			continue
		}
		x, err := table.Number(text, n.low, n.high)
		if err != nil {
			return fault(err.Error(), fmt.Sprintf("a number from %g to %g", n.low, n.high))
		}
		*n.to = x
		return nil
	}
	var err error
	switch column {
	case "family":
		g.Family = text
	case "lot":
		g.Lot = text
	case "ci":
		g.CI = table.Words(text)
	case "inci":
		if g.INCI, err = ParseINCI(text); err == nil {
			for _, i := range g.INCI {
				if i.Percent == 0 {
					err = fmt.Errorf("%s has no share", i.INCI)
				}
			}
		}
		if err != nil {
			return fault(err.Error(), "name=percent joined by ; that sum to 100, such as Mica=60;Titanium Dioxide=40")
		}
	case "areas":
		if g.Areas, err = ParseAreas(text); err != nil {
			return fault(err.Error(), AreasForm)
		}
	case "source":
		switch s := Source(strings.ToLower(text)); s {
		case Modelled, Guessed, Measured, Demo:
			g.Source = s
		default:
			return fault(fmt.Sprintf("there is no source %q", table.Clip(text)), "modelled, guessed, measured or demo")
		}
	}
	return nil
}

// ParseINCI reads `name`, or `name=percent` joined by `;`, with ~ for = where the
// share is an estimate. Shares, where any is given, must all be given and sum to
// 100 ± 0.5; a name alone is 100 %, and of several without shares each is 0.
func ParseINCI(s string) ([]Ingredient, error) {
	parts := strings.Split(s, ";")
	out := make([]Ingredient, 0, len(parts))
	sum, given := 0.0, 0
	for _, p := range parts {
		name, share, has := strings.Cut(p, "=")
		about := false
		if !has {
			name, share, about = strings.Cut(p, "~")
		}
		has = has || about
		in := Ingredient{INCI: strings.TrimSpace(name), Estimated: about}
		if in.INCI == "" {
			return nil, errors.New("an INCI name is missing")
		}
		if has {
			v, err := table.Number(share, 0, 100)
			if err != nil {
				return nil, err
			}
			in.Percent = v
			sum += v
			given++
		}
		out = append(out, in)
	}
	switch {
	case given == 0 && len(out) == 1:
		out[0].Percent = 100
	case given > 0 && given < len(out):
		return nil, errors.New("some substances have a share and some have none")
	case given > 0 && (sum < 99.5 || sum > 100.5):
		return nil, fmt.Errorf("the shares sum to %.4g, not 100", sum)
	}
	return out, nil
}

// joins are how suppliers write one substance after another, but for the comma;
// what a product may contain follows on signs of its own.
var joins = regexp.MustCompile(`(?i)\s*(?:[;\[\]&±]|\(and\)|\s(?:and|\+)\s|\s/\s|\+/-|\bmay contain\b:?)\s*`)

// Listed are the names of a list of substances, as suppliers write them: by
// commas, semicolons, "(and)", "and", &, + or / with spaces about them, or after
// "may contain" or +/-.
func Listed(text string) (names []string) {
	for _, n := range strings.Split(joins.ReplaceAllString(text, ", "), ", ") {
		if n = strings.Trim(n, " ,"); n != "" {
			names = append(names, n)
		}
	}
	return names
}

// AreasForm is what ParseAreas reads.
const AreasForm = "body, eyes and lips, joined by , or ;"

// ParseAreas reads a list such as `body, eyes`.
func ParseAreas(s string) ([]Area, error) {
	var out []Area
	for _, w := range table.Words(strings.ReplaceAll(s, ",", ";")) {
		switch a := Area(strings.ToLower(w)); a {
		case Body, Eyes, Lips:
			out = append(out, a)
		default:
			return nil, fmt.Errorf("there is no area %q", table.Clip(w))
		}
	}
	if len(out) == 0 {
		return nil, errors.New("no area is named")
	}
	return out, nil
}
