package book

import (
	"slices"
	"strings"
)

// table describes one table for writing, export, import and check. A test
// holds it to the schema, so that no column is ever forgotten by an export.
type table struct {
	name    string
	columns []column
	key     int // how many leading columns make the primary key
	kind    Kind
}

// Bounds used again and again: grams and the like cannot be negative, and no
// hand-made batch weighs a tonne.
const maxGrams = 1e6

// tables are all of them, each after those it refers to.
var tables = []*table{
	{name: "powder", key: 1, kind: Powders, columns: columns(
		id(), word("name").given(), word("family"),
		oneOf("source", "modelled", "guessed", "measured", "demo"),
		word("note"), doc("document"), date("retired_on").orNull(), moment("recorded_at"))},

	{name: "lot", key: 1, kind: Lots, columns: columns(
		id(), refers("powder_id", "powder"), word("lot").given(), word("supplier"),
		date("received_on").orNull(), date("expires_on").orNull(),
		amount("price_per_g", 0, 1e9).orNull(), amount("strength", 0, 100).orNull(),
		amount("shade_shift_de00", 0, 1000).orNull(),
		word("note"), moment("recorded_at"))},

	{name: "movement", key: 1, kind: Movements, columns: columns(
		id(), refers("lot_id", "lot"),
		oneOf("kind", "bought", "counted", "spilt", "given", "returned", "adjusted"),
		amount("grams", -maxGrams, maxGrams), date("moved_on"),
		word("note"), moment("recorded_at"))},

	{name: "client", key: 1, kind: Clients, columns: columns(
		id(), word("name").given(), word("note"), moment("recorded_at"))},

	{name: "skin", key: 1, kind: Skins, columns: columns(
		id(), refers("client_id", "client").orNull(), word("name"),
		oneOf("how", "reading", "average", "photo", "sliders", "hex", "preset"),
		lab("lab"), amount("spread_de00", 0, 1000).orNull(), spectrum("reflectance"),
		doc("document"), word("note"), moment("recorded_at"))},

	{name: "blend", key: 1, kind: Blends, columns: columns(
		id(), word("name").private(),
		refers("client_id", "client").orNull().private(), refers("skin_id", "skin").orNull().private(),
		word("base"), optional(lab("skin")), lab("target"), lab("predicted"),
		amount("de00", 0, 1000), amount("de00_95", 0, 1000).orNull(),
		amount("load_percent", 0, 100), amount("applied_mg_cm2", 0, 1000).orNull(),
		doc("request").private(), doc("document").private(), word("note").private(),
		moment("recorded_at"))},

	{name: "blend_powder", key: 2, columns: columns(
		refers("blend_id", "blend"), count("position", 1, 1000),
		word("powder_name").given(), refers("powder_id", "powder").orNull(),
		refers("lot_id", "lot").orNull(), word("lot"), amount("percent", 0, 100))},

	{name: "batch", key: 1, kind: Batches, columns: columns(
		id(), word("name").private(), refers("blend_id", "blend").orNull(),
		refers("client_id", "client").orNull().private(), word("base"),
		date("made_on").orNull(), amount("planned_g", 0, maxGrams), amount("made_g", 0, maxGrams).orNull(),
		amount("load_percent", 0, 100), count("containers", 1, 1e6).orNull(),
		amount("container_ml", 0, maxGrams).orNull(), amount("cost", 0, 1e9).orNull(),
		doc("request").private(), doc("document").private(), word("note").private(),
		moment("recorded_at"))},

	{name: "batch_weight", key: 2, columns: weightColumns("batch")},

	{name: "reading", key: 1, kind: Readings, columns: columns(
		id(), refers("client_id", "client").orNull(), refers("skin_id", "skin").orNull(),
		refers("lot_id", "lot").orNull(), refers("batch_id", "batch").orNull(),
		date("taken_on"), word("place"),
		oneOf("how", howRead...), oneOf("seen", whereSeen...),
		word("instrument"), word("geometry"), lab("lab"), spectrum("reflectance"),
		amount("repeatability_de00", 0, 1000).orNull(), oneOf("ground", "", "black", "white"),
		amount("load_percent", 0, 100).orNull(), amount("areal_mg_cm2", 0, 1000).orNull(),
		amount("areal_error_mg_cm2", 0, 1000).orNull(),
		doc("document"), word("note"), moment("recorded_at"))},

	{name: "correction", key: 1, kind: Corrections, columns: columns(
		id(), refers("batch_id", "batch"), refers("reading_id", "reading").orNull().private(),
		date("made_on").orNull(), oneOf("how", howRead...), oneOf("seen", whereSeen...),
		optional(lab("measured")),
		amount("de00_before", 0, 1000).orNull(), amount("de00_predicted", 0, 1000).orNull(),
		amount("before_g", 0, maxGrams), amount("after_g", 0, maxGrams).orNull(),
		doc("request").private(), doc("document").private(), word("note").private(),
		moment("recorded_at"))},

	{name: "correction_weight", key: 2, columns: weightColumns("correction")},

	{name: "fit", key: 1, kind: Fits, columns: columns(
		id(), refers("powder_id", "powder"), refers("lot_id", "lot").orNull(), date("fitted_on"),
		oneOf("verdict", "holds", "use with care", "does not hold"), word("why"),
		amount("mean_de00", 0, 1000), amount("worst_de00", 0, 1000),
		amount("strength", 0, 100).orNull(), word("geometry"),
		doc("document"), word("note"), moment("recorded_at"))},

	{name: "fit_reading", key: 2, columns: columns(
		refers("fit_id", "fit"), refers("reading_id", "reading"), amount("residual_de00", 0, 1000))},

	{name: "photo", key: 1, kind: Photos, columns: columns(
		id(), refers("client_id", "client").orNull(), refers("skin_id", "skin").orNull(),
		refers("reading_id", "reading").orNull(), refers("blend_id", "blend").orNull(),
		refers("batch_id", "batch").orNull(), refers("lot_id", "lot").orNull(),
		date("taken_on"), word("place"), oneOf("media_type", "image/jpeg", "image/png"),
		count("width_px", 1, maxPhotoPixels), count("height_px", 1, maxPhotoPixels),
		word("sha256").given(), word("note"), moment("recorded_at"),
		column{name: "data", kind: picture})},
}

var (
	howRead   = []string{"instrument", "photo", "by eye", "typed"}
	whereSeen = []string{"skin", "jar", "drawdown", "powder", "card"}
)

// weightColumns are those of the weights of a batch or a correction.
func weightColumns(of string) []column {
	return columns(
		refers(of+"_id", of), count("position", 1, 1000), oneOf("role", "powder", "base"),
		word("name").given(), refers("powder_id", "powder").orNull(),
		refers("lot_id", "lot").orNull(), word("lot"),
		amount("planned_g", 0, maxGrams), amount("weighed_g", 0, maxGrams).orNull())
}

// columns joins single columns and the threes of a colour into one list.
func columns(parts ...any) []column {
	var all []column
	for _, p := range parts {
		switch p := p.(type) {
		case column:
			all = append(all, p)
		case []column:
			all = append(all, p...)
		}
	}
	return all
}

// optional lets a colour be unknown; it is a person's, and goes with them.
func optional(cs []column) []column {
	for i := range cs {
		cs[i] = cs[i].orNull().private()
	}
	return cs
}

// tableNamed returns nil where there is none of that name.
func tableNamed(name string) *table {
	i := slices.IndexFunc(tables, func(t *table) bool { return t.name == name })
	if i < 0 {
		return nil
	}
	return tables[i]
}

// column returns the place of the named column, or -1.
func (t *table) column(name string) int {
	return slices.IndexFunc(t.columns, func(c column) bool { return c.name == name })
}

// numbered reports whether the table gives its records ids.
func (t *table) numbered() bool { return t.columns[0].name == "id" }

func (t *table) names() []string {
	names := make([]string, len(t.columns))
	for i := range t.columns {
		names[i] = t.columns[i].name
	}
	return names
}

func (t *table) selectSQL() string {
	return "SELECT " + strings.Join(t.names(), ", ") + " FROM " + t.name
}

// orderSQL is the order of an export: by primary key.
func (t *table) orderSQL() string { return " ORDER BY " + strings.Join(t.names()[:t.key], ", ") }

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
