package book

import (
	"reflect"
	"slices"
	"strings"
)

// table describes one table for writing, export, import and check. A test
// holds it to the schema, so that no column is ever forgotten by an export.
type table struct {
	name    string
	kind    Kind         // empty for parts of another kind
	key     int          // how many leading columns make the primary key
	since   int          // the first step of the schema that an export of has it
	of      reflect.Type // its records'
	columns []column
}

// tables are all of them, each after those it refers to.
var tables = []*table{
	describe[Powder]("powder", Powders, 1),
	describe[Lot]("lot", Lots, 1),
	describe[Movement]("movement", Movements, 1),
	describe[Client]("client", Clients, 1),
	describe[Skin]("skin", Skins, 1),
	describe[Blend]("blend", Blends, 1),
	describe[BlendPowder]("blend_powder", "", 1),
	describe[Batch]("batch", Batches, 1),
	describe[Weight]("batch_weight", "", 1),
	describe[Reading]("reading", Readings, 1),
	describe[Correction]("correction", Corrections, 1),
	describe[Weight]("correction_weight", "", 1),
	describe[Fit]("fit", Fits, 1),
	describe[FitReading]("fit_reading", "", 1),
	describe[File]("file", Files, filesStep),
	describe[Photo]("photo", Photos, 1),
}

func describe[T any](name string, kind Kind, since int) *table {
	t := &table{name: name, kind: kind, key: 1, since: since, of: reflect.TypeFor[T]()}
	t.columns = columnsOf(t.of)
	if owner, _, part := strings.Cut(name, "_"); part { // a Weight is a batch's or a correction's
		t.key, t.columns[0].name, t.columns[0].ref = 2, owner+"_id", owner
	}
	return t
}

// tableOf is the table of a type of record; of parts that have several, the first.
func tableOf[T any]() *table {
	return tableWhere(func(t *table) bool { return t.of == reflect.TypeFor[T]() })
}

func tableNamed(name string) *table {
	return tableWhere(func(t *table) bool { return t.name == name })
}

// tableWhere returns nil where there is none.
func tableWhere(is func(*table) bool) *table {
	if i := slices.IndexFunc(tables, is); i >= 0 {
		return tables[i]
	}
	return nil
}

// column returns the place of the named column, or -1.
func (t *table) column(name string) int {
	return slices.IndexFunc(t.columns, func(c column) bool { return c.name == name })
}

// numbered reports whether the table gives its records ids.
func (t *table) numbered() bool { return t.columns[0].name == "id" }

// numbered are the tables that do.
func numbered() []*table {
	return slices.DeleteFunc(slices.Clone(tables), func(t *table) bool { return !t.numbered() })
}

func (t *table) names() []string {
	names := make([]string, len(t.columns))
	for i := range t.columns {
		names[i] = t.columns[i].name
	}
	return names
}

// orderSQL is the order of an export: by primary key.
func (t *table) orderSQL() string { return "ORDER BY " + strings.Join(t.names()[:t.key], ", ") }

// inOrder is the order in which a maker looks for records.
func (t *table) inOrder() string {
	if i := t.column("name"); i >= 0 && t.columns[i].required {
		return "ORDER BY name COLLATE NOCASE"
	}
	if t.column("taken_on") >= 0 {
		return "ORDER BY taken_on, id"
	}
	return "ORDER BY id"
}

func (t *table) insertSQL() string {
	return "INSERT INTO " + t.name + " (" + strings.Join(t.names(), ", ") + ") VALUES (?" +
		strings.Repeat(", ?", len(t.columns)-1) + ")"
}

// check makes every value of a row ready to be stored. where names the record.
func (t *table) check(row []any, where string) error {
	for i := range t.columns {
		v, err := t.columns[i].check(row[i])
		if err != nil {
			return &FieldError{where, t.columns[i].name, err.Error()}
		}
		row[i] = v
	}
	return nil
}
