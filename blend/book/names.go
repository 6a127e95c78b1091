package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"
	sqlite3 "modernc.org/sqlite/lib"

	"tawny/blend/batch"
)

// Steps of the schema that change what rows hold: namesStep gave it the names of the
// second edition, emptiedStep is told at empty.
const (
	namesStep   = 8
	emptiedStep = 12
)

// edits are those steps, of a row of the named table. powder is a powder's present
// name. An export of an earlier schema goes through the same on its way in.
var edits = map[int]func(row cells, tableName string, powder func(string) string){
	namesStep: cells.rename, emptiedStep: cells.empty,
}

// cells are a row by the names of its columns.
type cells map[string]any

// text is the text of a cell; empty where there is none.
func (row cells) text(name string) string {
	s, _ := row[name].(string)
	return s
}

// rename gives one row the second edition's names.
func (row cells) rename(tableName string, powder func(string) string) {
	for name, v := range row {
		if s, ok := v.(string); ok {
			row[name] = textNow(s)
		}
	}
	switch tableName {
	case "powder":
		row["name"] = powder(row.text("name"))
		if row.text("family") == "russet" {
			row["family"] = "fox"
		}
	case "blend_powder":
		row["powder_name"] = powder(row.text("powder_name"))
	case "batch_weight", "correction_weight":
		if row.text("role") == "powder" {
			row["name"] = powder(row.text("name"))
		}
	case "reading":
		row.renameGeometry()
	case "blend", "batch":
		if asked := row.text("request"); asked != "" {
			row["request"] = requestNow(asked, powder)
		}
	}
	for _, name := range []string{"request", "document"} {
		if s := row.text(name); s != "" {
			row[name] = oldGloss.ReplaceAllStringFunc(s, func(colour string) string {
				end := len(colour) - len(`spex"`)
				return colour[:end] + "d" + strings.ToLower(colour[end+2:end+3]) + `"`
			})
		}
	}
}

// textNow has one form of each letter, and a visible mark for the control
// characters that the first edition let pass. JSON's own signs are not among
// them.
func textNow(s string) string {
	return norm.NFC.String(strings.Map(func(r rune) rune {
		if r >= 0x80 && r < 0xa0 {
			return '\ufffd'
		}
		return r
	}, s))
}

// oldGloss finds a colour, as JSON text, that says how its gloss was read in
// the first edition's words.
var oldGloss = regexp.MustCompile(`(?i)"((lab|lch|bands):[^"\\]*|#[0-9a-f]{3,6})/sp(ex|in)"`)

// powderNow is a built-in powder's present name.
func powderNow(name string) string {
	switch {
	case strings.EqualFold(name, "russet"):
		return "fox"
	case strings.EqualFold(name, "wine"):
		return "mulberry"
	}
	return name
}

// renameGeometry brings a reading's geometry, which was any text, to CIE 15's
// letters. The first edition wrote "gloss included" wherever nothing was said,
// so that is unsaid. What the maker wrote herself is kept with the instrument.
func (row cells) renameGeometry() {
	said := row.text("geometry")
	low := strings.ToLower(said)
	has := func(words ...string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(low, w) })
	}
	now, own := "", true
	switch {
	case low == "", low == "gloss included", low == "gloss excluded":
		own = false
		if low != "gloss included" && row.text("how") == "photo" {
			now = "photo"
		} else if low == "gloss excluded" {
			now = "de"
		}
	case low == "photo":
		now, own = low, false
	case has("45"):
		now = "45"
	case has("excluded", "sce", "spex", "de"):
		now = "de"
	case has("included", "sci", "spin", "di"):
		now = "di"
	}
	row["geometry"] = now
	if own && low != now {
		row["instrument"] = strings.TrimPrefix(row.text("instrument")+", "+said, ", ")
	}
}

// keysNow are the keys of a request of the first edition and those of today.
var keysNow = map[string]string{
	"repeatDeltaE": "repeat", "loadPercent": "load", "loadMaxPercent": "load-max", "loadMinPercent": "load-min",
	"tiltDegrees": "tilt", "applySpreadPercent": "apply-spread", "mostPowders": "max", "palette": "drawer", "must": "use",
	"atMost": "at-most", "atLeast": "at-least", "inStock": "in-stock", "costMax": "cost-max", "containerMl": "ml",
	"balanceG": "balance", "secondLight": "second-light", "bothLights": "both-lights", "parts": "part",
	"overfillPercent": "overfill", "lossPercent": "loss", "nozzleUm": "nozzle-um", "scentLimitPercent": "scent-limit",
	"allergens": "allergen", "marginPercent": "margin", "labourHours": "labour-hours",
}

// requestNow is a request of the first edition as today's document; a request
// that has a version, or is none, stays as it is.
func requestNow(asked string, powder func(string) string) string {
	now := map[string]any{"job": "book save", "version": 2}
	var take func(raw []byte) bool
	take = func(raw []byte) bool {
		var items map[string]json.RawMessage
		if json.Unmarshal(raw, &items) != nil || items["version"] != nil {
			return false
		}
		for key, value := range items {
			if name := keysNow[key]; name != "" {
				key = name
			}
			switch key {
			case "bench": // what only the batch sheet needs was a group of its own
				if !take(value) {
					return false
				}
			case "page": // an address of the first edition's page
			case "only", "without", "use", "at-most", "at-least", "part":
				now[key] = powdersNow(value, powder)
			default:
				now[key] = value
			}
		}
		return true
	}
	if !take([]byte(asked)) {
		return asked
	}
	text, err := json.Marshal(now)
	if err != nil {
		return asked
	}
	return string(text)
}

// powdersNow is a list of powders, each alone or as "name=number".
func powdersNow(raw json.RawMessage, powder func(string) string) any {
	var list []string
	if json.Unmarshal(raw, &list) != nil {
		return raw
	}
	for i, item := range list {
		name, number, numbered := strings.Cut(item, "=")
		list[i] = powder(strings.TrimSpace(name))
		if numbered {
			list[i] += "=" + number
		}
	}
	return list
}

// empty takes the target and the prediction out of a blend that forgetting had emptied
// of all else, and makes labels of bases that must by now be said to be one.
func (row cells) empty(tableName string, _ func(string) string) {
	if tableName == "blend" && row["client_id"] == nil && row["skin_l"] == nil && row.text("name")+row.text("note")+row.text("request")+row.text("document") == "" {
		for _, name := range []string{"target_l", "target_a", "target_b", "predicted_l", "predicted_a", "predicted_b"} {
			row[name] = nil
		}
	}
	if asked := row.text("request"); asked != "" {
		row["request"] = labelNow(asked)
	}
}

// labelNow is a request whose base, pasted as a label's names alone, says that it is the
// label of one bought ready made.
func labelNow(asked string) string {
	var items map[string]json.RawMessage
	var base string
	if json.Unmarshal([]byte(asked), &items) != nil || json.Unmarshal(items["base"], &base) != nil {
		return asked
	}
	lines, pasted := strings.CutPrefix(base, "recipe:")
	if _, err := batch.ParseRecipe(lines, ""); !pasted || err == nil {
		return asked
	}
	lines += "\nkind: " + string(batch.Ready)
	if _, err := batch.ParseRecipe(lines, ""); err != nil { // no label either
		return asked
	}
	items["base"], _ = json.Marshal("recipe:" + lines) // text always marshals
	text, _ := json.Marshal(items)                     // so does what was JSON
	return string(text)
}

// editRows does a step's edit for a whole book. A powder keeps its name where
// another has its new one already. What is taken out goes from the file and its
// backups too.
func editRows(ctx context.Context, tx *sql.Tx, step int) error {
	if edits[step] == nil {
		return nil
	}
	taken := map[string]bool{}
	names, err := gather(ctx, tx, cell[string], "SELECT lower(name) FROM powder")
	if err != nil {
		return err
	}
	for _, name := range names {
		taken[name] = true
	}
	powder := func(name string) string {
		if now := powderNow(name); !taken[now] {
			return now
		}
		return name
	}
	for _, now := range tables {
		if now.since > step {
			continue
		}
		t, err := now.asStored(ctx, tx)
		if err != nil {
			return err
		}
		err = t.eachRow(ctx, tx, t.orderSQL(), nil, func(row []any) error {
			changed, emptied := t.edit(row, step, powder)
			if !changed {
				return nil
			}
			err := t.overwrite(ctx, tx, row, t.name)
			if code(err) == sqlite3.SQLITE_CONSTRAINT {
				return nil // two names are one by now, so both stay as they are
			}
			if emptied && err == nil {
				_, err = tx.ExecContext(ctx, writeAnewLater)
			}
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// asStored is t with the columns that the file has now, at an earlier step of
// the schema; only their names are known.
func (t *table) asStored(ctx context.Context, tx *sql.Tx) (*table, error) {
	old := &table{name: t.name, key: t.key}
	columns, err := gather(ctx, tx, func(rows *sql.Rows, c *column) error { return rows.Scan(&c.name) },
		"SELECT name FROM pragma_table_info(?) ORDER BY cid", t.name)
	old.columns = columns
	return old, err
}

// edit does a step's edit of a row of t, and reports whether it changed and whether
// anything was taken out of it.
func (t *table) edit(row []any, step int, powder func(string) string) (changed, emptied bool) {
	by := cells{}
	for i, c := range t.columns {
		by[c.name] = row[i]
	}
	edits[step](by, t.name, powder)
	for i, c := range t.columns {
		if _, bytes := row[i].([]byte); !bytes && by[c.name] != row[i] {
			changed, emptied = true, emptied || by[c.name] == nil
			row[i] = by[c.name]
		}
	}
	return changed, emptied
}
