package batch

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tawny/blend/palette"
	"tawny/colour/table"
)

// field is one thing a base's file holds, as a key or a cell: how it is read,
// what is accepted, and how it is written. What is not given is empty.
type field struct {
	name   string
	accept string
	need   bool
	read   func(string) error
	write  func() string
}

// fields are the keys of a base's file, in order.
func (b *Base) fields() []field {
	areas := wordsField("areas", &b.Areas, nil)
	areas.accept = palette.AreasForm
	areas.read = func(s string) (err error) { b.Areas, err = palette.ParseAreas(s); return err }
	assessed := textField("assessed", nil)
	assessed.accept = "INCI names, joined by ;"
	assessed.read = func(s string) error { b.Assessed = palette.Listed(s); return nil }
	assessed.write = func() string { return strings.Join(b.Assessed, ";") }
	return []field{
		textField("base", &b.Name).needed(true),
		wordField("kind", &b.Kind, Kinds).needed(true),
		textField("note", &b.Note),
		textField("source", &b.Source),
		numberField("density_g_ml", &b.Density, 0.5, 2, "g/ml from 0.5 to 2").needed(true),
		numberField("viscosity_pa_s", &b.Viscosity, 1e-4, 1e4, "Pa·s from 0.0001 to 10000"),
		numberField("yield_stress_pa", &b.YieldStress, 0, 1e4, "Pa from 0 to 10000"),
		numberField("refractive_index", &b.Refraction, 1.3, 1.7, "1.3 to 1.7"),
		wordField("consistency", &b.Consistency, Consistencies).needed(true),
		rangeField("ph", &b.PH, 0.1, 14, "a pH or a range such as 4.8-5.3"),
		rangeField("heat_c", &b.HeatC, 20, 95, "°C from 20 to 95, or a range such as 70-75"),
		numberField("hold_min", &b.HoldMinutes, 0, 120, "minutes from 0 to 120"),
		numberField("cool_c", &b.CoolC, 10, 80, "°C from 10 to 80"),
		numberField("warm_max_c", &b.WarmMaxC, 10, 90, "°C from 10 to 90"),
		numberField("max_add_percent", &b.MaxAddPercent, 0, 50, "% of the finished product from 0 to 50"),
		monthsField("keep_months", &b.KeepMonths),
		textField("filler", &b.Filler),
		areas,
		assessed,
		wordsField("assumed", &b.Assumed, []string{assumedDensity, assumedConsistency, assumedHeat}),
	}
}

// fields are the cells of an ingredient's row, in the header's order.
func (in *Ingredient) fields(kind Kind) []field {
	percent := numberField("percent", &in.Percent, 0, 100, "% w/w of the base, over 0 up to 100").needed(kind != Ready)
	if kind == Ready {
		percent.accept = "an empty field, rows in label order"
		percent.read = func(string) error { return errors.New("a ready-made base has no percentages") }
	}
	phase := wordField("phase", &in.Phase, phasesOf[kind]).needed(true)
	read := phase.read
	phase.read = func(s string) error {
		if err := read(s); err != nil {
			return fmt.Errorf("a base of kind %s has %w", kind, err)
		}
		return nil
	}
	inci := textField("inci", &in.INCI).needed(true)
	inci.accept = "one INCI name, such as Aqua, or name=percent joined by ; with shares that sum to 100"
	inci.read = func(s string) error { in.INCI = s; _, err := palette.ParseINCI(s); return err }
	low := numberField("usual_low", &in.Usual.Low, 0, 100, "% from 0 to 100, or empty")
	low.write = func() string {
		if in.Usual.Stated() {
			return strconv.FormatFloat(in.Usual.Low, 'f', -1, 64)
		}
		return ""
	}
	return []field{
		phase,
		textField("name", &in.Name),
		inci,
		percent,
		wordsField("roles", &in.Roles, Roles).needed(kind != Ready),
		numberField("add_below_c", &in.AddBelowC, 10, 95, "°C from 10 to 95, or empty"),
		low,
		numberField("usual_high", &in.Usual.High, 0, 100, "% from 0 to 100, or empty"),
		wordField("usual_of", &in.UsualOf, []Of{OfProduct, OfOil}),
		numberField("hlb", &in.HLB, 0.5, 40, "Griffin's number from 0.5 to 40, or empty"),
	}
}

func fieldNames(fields []field) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = f.name
	}
	return out
}

// set reads what a file says; nothing said is left as it was.
func (f field) set(s string) error {
	switch {
	case s != "":
		return f.read(s)
	case f.need:
		return fmt.Errorf("the %s is missing", f.name)
	}
	return nil
}

func (f field) needed(yes bool) field {
	f.need = yes
	return f
}

func textField(name string, v *string) field {
	return field{name, "text", false, func(s string) error { *v = s; return nil }, func() string { return *v }}
}

func numberField(name string, v *float64, lo, hi float64, accept string) field {
	return field{name, accept, false,
		func(s string) (err error) { *v, err = table.Number(s, lo, hi); return err },
		func() string { return number(*v) }}
}

func monthsField(name string, v *int) field {
	return field{name, "months from 1 to 60", false,
		func(s string) (err error) {
			if *v, err = strconv.Atoi(s); err == nil && (*v < 1 || *v > 60) {
				err = fmt.Errorf("%d is out of range", *v)
			}
			return err
		},
		func() string { return number(float64(*v)) }}
}

func rangeField(name string, v *Range, lo, hi float64, accept string) field {
	return field{name, accept, false,
		func(s string) (err error) { v.Low, v.High, err = table.Span(s, lo, hi); return err },
		func() string {
			if v.Low == v.High {
				return number(v.Low)
			}
			return number(v.Low) + "-" + number(v.High)
		}}
}

func wordField[T ~string](name string, v *T, of []T) field {
	return field{name, list(of), false,
		func(s string) error {
			if *v = T(strings.ToLower(s)); !slices.Contains(of, *v) {
				return fmt.Errorf("no %s %q", name, s)
			}
			return nil
		},
		func() string { return string(*v) }}
}

// wordsField is words joined by semicolons, each once.
func wordsField[T ~string](name string, v *[]T, of []T) field {
	one := strings.TrimSuffix(name, "s")
	return field{name, list(of) + ", joined by ;", false,
		func(s string) error {
			for _, w := range table.Words(strings.ToLower(s)) {
				if !slices.Contains(of, T(w)) {
					return fmt.Errorf("no %s %q", one, w)
				}
				if !slices.Contains(*v, T(w)) {
					*v = append(*v, T(w))
				}
			}
			return nil
		},
		func() string { return strings.ReplaceAll(list(*v), ", ", ";") }}
}

// number writes a figure in full; nothing for 0, which means not given.
func number(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func list[T ~string](words []T) string {
	s := make([]string, len(words))
	for i, w := range words {
		s[i] = string(w)
	}
	return strings.Join(s, ", ")
}
