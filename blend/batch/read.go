package batch

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"tawny/blend/palette"
	"tawny/colour/table"
)

// BaseHeader is the header of a base file. Above it stand the keys, one to a
// line as "# key: value". Of the columns, percent is % w/w of the base, empty
// in a ready-made one; roles are joined by ;; add_below_c is in °C; usual_low
// and usual_high are the supplier's range, % of what usual_of says, product or
// oil. All from add_below_c on may be empty.
var BaseHeader = []string{"phase", "name", "inci", "percent", "roles", "add_below_c", "usual_low", "usual_high", "usual_of", "hlb"}

// ReadBase reads a base from a CSV file; name is used in errors, which are *table.Error.
func ReadBase(r io.Reader, name string) (Base, error) {
	f, err := table.Read(name, r, table.Kind{Header: BaseHeader, Optional: BaseHeader[5:]})
	if err != nil {
		return Base{}, err
	}
	b := Base{File: name}
	for _, k := range f.Keys {
		if err := b.setKey(f, k); err != nil {
			return Base{}, err
		}
	}
	if err := b.needKeys(f); err != nil {
		return Base{}, err
	}
	for _, row := range f.Rows {
		in, err := readIngredient(f, row, b.Kind)
		if err != nil {
			return Base{}, err
		}
		for _, was := range b.Ingredients {
			if strings.EqualFold(was.Name, in.Name) && was.Phase == in.Phase {
				return Base{}, f.Fault(row, 1, fmt.Sprintf("%q stands in the %s phase already, on line %d", in.Name, in.Phase, was.Line), "each ingredient once a phase")
			}
		}
		b.Ingredients = append(b.Ingredients, in)
	}
	if b.Filler != "" && b.filler("") < 0 {
		k := f.Keys[slices.IndexFunc(f.Keys, func(k table.Key) bool { return k.Name == "filler" })]
		return Base{}, f.KeyFault(k, fmt.Sprintf("no ingredient is called %q", b.Filler), "a name or INCI from the rows")
	}
	return b, nil
}

// number keys: where each goes and what it may be.
func (b *Base) numberKey(name string) (dst *float64, lo, hi float64, unit string) {
	switch name {
	case "density_g_ml":
		return &b.Density, 0.5, 2, "g/ml from 0.5 to 2"
	case "viscosity_pa_s":
		return &b.Viscosity, 1e-4, 1e4, "Pa·s from 0.0001 to 10000"
	case "yield_stress_pa":
		return &b.YieldStress, 0, 1e4, "Pa from 0 to 10000"
	case "refractive_index":
		return &b.Refraction, 1.3, 1.7, "1.3 to 1.7"
	case "hold_min":
		return &b.HoldMinutes, 0, 120, "minutes from 0 to 120"
	case "cool_c":
		return &b.CoolC, 10, 80, "°C from 10 to 80"
	case "warm_max_c":
		return &b.WarmMaxC, 10, 90, "°C from 10 to 90"
	case "max_add_percent":
		return &b.MaxAddPercent, 0, 50, "% of the finished product from 0 to 50"
	}
	return nil, 0, 0, ""
}

// BaseKeys lists the keys a base file may have before its rows.
const BaseKeys = "base, kind, note, source, density_g_ml, viscosity_pa_s, yield_stress_pa, refractive_index, consistency, ph, heat_c, hold_min, cool_c, warm_max_c, max_add_percent, filler, areas"

func (b *Base) setKey(f *table.File, k table.Key) error {
	if dst, lo, hi, unit := b.numberKey(k.Name); dst != nil {
		v, err := table.Number(k.Value, lo, hi)
		if err != nil {
			return f.KeyFault(k, err.Error(), unit)
		}
		*dst = v
		return nil
	}
	switch k.Name {
	case "base":
		b.Name = k.Value
	case "note":
		b.Note = k.Value
	case "source":
		b.Source = k.Value
	case "filler":
		b.Filler = k.Value
	case "kind":
		b.Kind = Kind(strings.ToLower(k.Value))
		if !slices.Contains(Kinds, b.Kind) {
			return f.KeyFault(k, fmt.Sprintf("no kind %q", k.Value), list(Kinds))
		}
	case "consistency":
		b.Consistency = Consistency(strings.ToLower(k.Value))
		if !slices.Contains(Consistencies, b.Consistency) {
			return f.KeyFault(k, fmt.Sprintf("no consistency %q", k.Value), list(Consistencies))
		}
	case "ph":
		lo, hi, err := table.Span(k.Value, 0.1, 14)
		if err != nil {
			return f.KeyFault(k, err.Error(), "a pH or a range such as 4.8-5.3")
		}
		b.PH = Range{lo, hi}
	case "heat_c":
		lo, hi, err := table.Span(k.Value, 20, 95)
		if err != nil {
			return f.KeyFault(k, err.Error(), "°C from 20 to 95, or a range such as 70-75")
		}
		b.HeatC = Range{lo, hi}
	case "areas":
		areas, err := palette.ParseAreas(k.Value)
		if err != nil {
			return f.KeyFault(k, err.Error(), "body, eyes, lips joined by ;")
		}
		b.Areas = areas
	default:
		return f.KeyFault(k, "unknown key", BaseKeys)
	}
	return nil
}

func (b *Base) needKeys(f *table.File) error {
	missing := ""
	switch {
	case b.Name == "":
		missing = "base"
	case b.Kind == "":
		missing = "kind"
	case b.Density == 0:
		missing = "density_g_ml"
	case b.Consistency == "":
		missing = "consistency"
	case b.Kind == Ready && b.MaxAddPercent == 0:
		missing = "max_add_percent"
	case b.Kind == Ready && b.WarmMaxC == 0:
		missing = "warm_max_c"
	}
	if missing != "" {
		return &table.Error{File: f.Name, Line: 1, Field: missing, Problem: "the key is missing", Accept: "a line such as # " + missing + ": …"}
	}
	if len(b.Areas) == 0 {
		b.Areas = []palette.Area{palette.Body}
	}
	return nil
}

func readIngredient(f *table.File, row table.Row, kind Kind) (Ingredient, error) {
	at := func(i int) string { return row.Fields[i] }
	in := Ingredient{Phase: Phase(strings.ToLower(at(0))), Name: at(1), INCI: at(2), Line: row.Line}
	if !slices.Contains(phasesOf[kind], in.Phase) {
		return in, f.Fault(row, 0, fmt.Sprintf("a base of kind %s has no phase %q", kind, at(0)), list(phasesOf[kind]))
	}
	if in.INCI == "" {
		return in, f.Fault(row, 2, "the INCI name is missing", "the label name, such as Aqua")
	}
	if _, err := palette.ParseINCI(in.INCI); err != nil {
		return in, f.Fault(row, 2, err.Error(), "one INCI name, or name=percent joined by ; with shares that sum to 100")
	}
	if in.Name == "" {
		in.Name = in.INCI
	}
	if kind == Ready {
		if at(3) != "" {
			return in, f.Fault(row, 3, "a ready-made base has no percentages", "an empty field, rows in label order")
		}
	} else {
		v, err := table.Number(at(3), 0, 100)
		if err == nil && v == 0 {
			err = errors.New("0 % is no ingredient")
		}
		if err != nil {
			return in, f.Fault(row, 3, err.Error(), "% w/w of the base, over 0 up to 100")
		}
		in.Percent = v
	}
	for _, s := range table.Words(strings.ToLower(at(4))) {
		if !slices.Contains(Roles, Role(s)) {
			return in, f.Fault(row, 4, fmt.Sprintf("no role %q", s), list(Roles)+", joined by ;")
		}
		in.Roles = append(in.Roles, Role(s))
	}
	if len(in.Roles) == 0 && kind != Ready {
		return in, f.Fault(row, 4, "the role is missing", list(Roles)+", joined by ;")
	}
	optional := []struct {
		i      int
		dst    *float64
		lo, hi float64
		accept string
	}{
		{5, &in.AddBelowC, 10, 95, "°C from 10 to 95, or empty"},
		{6, &in.Usual.Low, 0, 100, "% from 0 to 100, or empty"},
		{7, &in.Usual.High, 0, 100, "% from 0 to 100, or empty"},
		{9, &in.HLB, 0.5, 40, "Griffin's number from 0.5 to 40, or empty"},
	}
	for _, o := range optional {
		if at(o.i) == "" {
			continue
		}
		v, err := table.Number(at(o.i), o.lo, o.hi)
		if err != nil {
			return in, f.Fault(row, o.i, err.Error(), o.accept)
		}
		*o.dst = v
	}
	if in.Usual.Low > in.Usual.High {
		return in, f.Fault(row, 7, "the usual range runs from high to low", "usual_high at or above usual_low")
	}
	if in.UsualOf = Of(strings.ToLower(at(8))); in.UsualOf == "" && in.Usual.Stated() {
		in.UsualOf = OfProduct
	}
	if in.UsualOf != "" && in.UsualOf != OfProduct && in.UsualOf != OfOil {
		return in, f.Fault(row, 8, fmt.Sprintf("no such whole %q", at(8)), "product, oil, or empty")
	}
	return in, nil
}

func list[T ~string](words []T) string {
	s := make([]string, len(words))
	for i, w := range words {
		s[i] = string(w)
	}
	return strings.Join(s, ", ")
}
