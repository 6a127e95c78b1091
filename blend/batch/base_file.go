package batch

import (
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
var BaseHeader = fieldNames(new(Ingredient).fields(""))

// BaseKeys lists the keys a base file may have before its rows.
var BaseKeys = strings.Join(fieldNames(new(Base).fields()), ", ")

// ReadBase reads a base from a CSV file; name is used in errors, which are *table.Error.
func ReadBase(r io.Reader, name string) (Base, error) {
	f, err := table.Read(name, r, table.Kind{Header: BaseHeader, Optional: BaseHeader[5:]})
	if err != nil {
		return Base{}, err
	}
	b := Base{File: name}
	fields := b.fields()
	for _, k := range f.Keys {
		i := slices.IndexFunc(fields, func(one field) bool { return one.name == k.Name })
		if i < 0 {
			return Base{}, f.KeyFault(k, "unknown key", BaseKeys)
		}
		if err := fields[i].set(k.Value); err != nil {
			return Base{}, f.KeyFault(k, err.Error(), fields[i].accept)
		}
	}
	for _, one := range b.fields() { // anew, since the kind decides what is needed
		if one.need && one.write() == "" {
			return Base{}, &table.Error{File: name, Line: 1, Field: one.name, Problem: "the key is missing", Accept: "a line such as # " + one.name + ": …"}
		}
	}
	if len(b.Areas) == 0 {
		b.Areas = []palette.Area{palette.Body}
	}
	for _, row := range f.Rows {
		in, err := readIngredient(f, row, b.Kind)
		if err != nil {
			return Base{}, err
		}
		if err := b.put(in); err != nil {
			return Base{}, f.Fault(row, 1, err.Error(), oncePhase)
		}
	}
	if b.Filler != "" && b.filler("") < 0 {
		k := f.Keys[slices.IndexFunc(f.Keys, func(k table.Key) bool { return k.Name == "filler" })]
		return Base{}, f.KeyFault(k, fmt.Sprintf("no ingredient is called %q", b.Filler), "a name or INCI from the rows")
	}
	said := b.Assumed
	b.Assumed = nil
	for _, key := range said {
		b.assumed(key)
	}
	b.imply()
	return b, nil
}

func readIngredient(f *table.File, row table.Row, kind Kind) (Ingredient, error) {
	in := Ingredient{Line: row.Line}
	for i, one := range in.fields(kind) {
		if err := one.set(row.Fields[i]); err != nil {
			return in, f.Fault(row, i, err.Error(), one.accept)
		}
		if one.need && one.write() == "" {
			return in, f.Fault(row, i, "the "+one.name+" is missing or 0", one.accept)
		}
	}
	if in.Name == "" {
		in.Name = in.INCI
	}
	if in.Usual.Low > in.Usual.High {
		return in, f.Fault(row, 7, "the usual range runs from high to low", "usual_high at or above usual_low")
	}
	if in.UsualOf == "" && in.Usual.Stated() {
		in.UsualOf = OfProduct
	}
	return in, nil
}

// WriteBase writes a base as the file ReadBase reads, for a maker to start
// her own from.
func WriteBase(w io.Writer, b Base) error {
	t := table.NewWriter(w)
	for _, one := range b.fields() {
		t.Key(one.name, one.write())
	}
	t.Row(BaseHeader...)
	for _, in := range b.Ingredients {
		var cells []string
		for _, one := range in.fields(b.Kind) {
			cells = append(cells, one.write())
		}
		t.Row(cells...)
	}
	return t.Flush()
}
