package palette

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"tawny/blend/flake"
	"tawny/colour/table"
)

// column is one of a drawer's: what a powder has in it, and how a cell of it is read
// into the powder.
type column struct {
	name, cell string
	empty      bool // may be left so
	accept     string
	read       func(string) error // nil of what the optics are read from
}

// columns are those of a drawer's file, in order; figure writes a number.
func (g *Pigment) columns(figure func(float64) string) []column {
	text := func(name string, v *string) column {
		return column{name, *v, true, "", func(s string) error { *v = s; return nil }}
	}
	number := func(name string, v *float64, low, high float64) column {
		return column{name, figure(*v), false, fmt.Sprintf("a number from %g to %g", low, high), func(s string) (err error) {
			*v, err = table.Number(s, low, high)
			return err
		}}
	}
	orEmpty := func(c column) column { c.empty = true; return c }
	said := func(c column) column { // of which 0 is nothing
		if c.cell == figure(0) {
			c.cell = ""
		}
		return orEmpty(c)
	}
	layers, substrate := column{name: "layers"}, orEmpty(number("substrate_nm", &g.Substrate, 50, 5000))
	if g.Spectrum == "" {
		layers.cell = cmp.Or(flake.FormatLayers(g.Layers), Bare)
	} else {
		substrate.cell = ""
	}
	return []column{
		{name: "name", cell: g.Name},
		text("family", &g.Family),
		{"inci", strings.Join(listed(g.INCI, Ingredient.String), ";"), false, "name=percent joined by ; that sum to 100, such as Mica=60;Titanium Dioxide=40", g.readINCI},
		{"ci", g.marked(g.CI), true, "", func(s string) error { g.CI = g.unmarked(g.CI, s); return nil }},
		layers, substrate,
		{name: "spectrum", cell: g.Spectrum},
		number("d10_um", &g.D10, 0.001, 2000),
		number("d50_um", &g.D50, 0.001, 2000),
		number("d90_um", &g.D90, 0.001, 2000),
		number("density_g_cm3", &g.Density, 0.5, 10),
		number("bulk_g_ml", &g.BulkDensity, 0.02, 5),
		number("oil_absorption_g_100g", &g.OilAbsorption, 5, 500),
		orEmpty(number("price_per_g", &g.PricePerG, 0, 1e6)),
		orEmpty(number("stock_g", &g.StockG, 0, 1e9)),
		text("lot", &g.Lot),
		said(number("dispersion", &g.Dispersion, 0.01, 1)),
		said(number("doubt", &g.Doubt, 0, 1)),
		{"areas", g.marked(words(g.Areas)), false, AreasForm, func(s string) (err error) {
			g.Areas, err = ParseAreas(strings.Join(g.unmarked(words(g.Areas), strings.ToLower(s)), ";"))
			return err
		}},
		{"source", string(g.Source), false, "modelled, guessed, measured or demo", func(s string) error {
			if g.Source = Source(strings.ToLower(s)); !slices.Contains([]Source{Modelled, Guessed, Measured, Demo}, g.Source) {
				return fmt.Errorf("there is no source %q", table.Clip(s))
			}
			return nil
		}},
	}
}

var columnNames = listed(new(Pigment).columns(figure), func(c column) string { return c.name })

func listed[T any](list []T, word func(T) string) []string {
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = word(x)
	}
	return words
}

// Set reads what a drawer or a file of drawdowns says of the powder in one column.
// What is wrong comes without a place, which its reader knows.
func (g *Pigment) Set(name, text string) *table.Error {
	c := g.columns(figure)[slices.Index(columnNames, name)]
	if err := c.read(text); err != nil {
		return &table.Error{Field: c.name, Problem: err.Error(), Accept: c.accept}
	}
	return nil
}

func words(areas []Area) []string { return listed(areas, func(a Area) string { return string(a) }) }

// marked are words of a column, those that are assumed with ~ after them.
func (g *Pigment) marked(list []string) string {
	return strings.Join(listed(list, func(w string) string {
		if slices.Contains(g.Assumed, w) {
			return w + "~"
		}
		return w
	}), ";")
}

// unmarked reads them, in place of those that were there.
func (g *Pigment) unmarked(was []string, text string) []string {
	g.Assumed = slices.DeleteFunc(slices.Clone(g.Assumed), func(w string) bool { return slices.Contains(was, w) })
	return listed(table.Words(strings.ReplaceAll(text, ",", ";")), func(w string) string {
		is, assumed := strings.CutSuffix(w, "~")
		if assumed {
			g.Assumed = append(g.Assumed, is)
		}
		return is
	})
}

// readINCI reads substances of which each has its share.
func (g *Pigment) readINCI(text string) (err error) {
	if g.INCI, err = ParseINCI(text); err != nil {
		return err
	}
	for _, i := range slices.Backward(g.INCI) {
		if i.Percent == 0 {
			return fmt.Errorf("%s has no share", i.INCI)
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

// dyes begin the names of those certified in the US.
var dyes = regexp.MustCompile(`(?i)\b(F?D) ?& ?C\b`)

// Listed are the names of a list of substances, as suppliers write them: by
// commas, semicolons, "(and)", "and", &, + or / with spaces about them, or after
// "may contain" or +/-.
func Listed(text string) (names []string) {
	const kept = "\x00" // the & of a name
	text = dyes.ReplaceAllString(text, "${1}"+kept+"C")
	for _, n := range strings.Split(joins.ReplaceAllString(text, ", "), ", ") {
		if n = strings.Trim(n, " ,"); n != "" {
			names = append(names, strings.ReplaceAll(n, kept, "&"))
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
