package book

import (
	"context"
	"database/sql"
	"fmt"
	"reflect"
	"slices"
	"strings"

	sqlite3 "modernc.org/sqlite/lib"

	"tawny/colour"
)

// Kind is a kind of record, as a maker names it.
type Kind string

// The kinds of record.
const (
	Powders     Kind = "powders"
	Lots        Kind = "lots"
	Movements   Kind = "movements"
	Clients     Kind = "clients"
	Skins       Kind = "skins"
	Blends      Kind = "blends"
	Batches     Kind = "batches"
	Readings    Kind = "readings"
	Corrections Kind = "corrections"
	Fits        Kind = "fits"
	Photos      Kind = "photos"
	Files       Kind = "files"
)

// Kinds are all kinds of record.
var Kinds = []Kind{Powders, Lots, Movements, Fits, Skins, Readings, Blends, Batches, Corrections, Photos, Files, Clients}

// ParseKind returns the kind a maker names, in the singular or plural.
func ParseKind(s string) (Kind, error) {
	s = strings.ToLower(s)
	for _, t := range tables {
		if t.kind != "" && (s == string(t.kind) || s == t.name) {
			return t.kind, nil
		}
	}
	names := make([]string, len(Kinds))
	for i, k := range Kinds {
		names[i] = string(k)
	}
	return "", fmt.Errorf("%s is not a kind of record; the kinds are %s", quoted(s), strings.Join(names, ", "))
}

func (k Kind) table() (*table, error) {
	if i := slices.IndexFunc(tables, func(t *table) bool { return t.kind == k && k != "" }); i >= 0 {
		return tables[i], nil
	}
	_, err := ParseKind(string(k))
	return nil, err
}

// Entry is one line of a list.
type Entry struct {
	Kind  Kind   `json:"kind"`
	ID    int64  `json:"id"`
	On    string `json:"on,omitempty"` // day
	Title string `json:"title"`
	Says  string `json:"says,omitempty"`
	Stage string `json:"stage,omitempty"` // of a batch: begun, weighed, made (its total is known too) or mended; empty while only planned
}

// listSQL selects day, title and what else to say of each kind of record.
var listSQL = map[Kind]string{
	Powders: `SELECT id, date(recorded_at), name, trim(family || ', ' || source || iif(retired_on IS NULL, '', ', retired'), ', ') FROM powder ORDER BY name COLLATE NOCASE`,
	Lots: `SELECT lot_id, coalesce(l.received_on, ''), powder_name || ', lot ' || stock.lot, printf('%.15g g left', left_g)
		FROM stock JOIN lot l ON l.id = lot_id ORDER BY powder_name COLLATE NOCASE, lot_id`,
	Movements: `SELECT m.id, moved_on, p.name || ', lot ' || l.lot, printf('%s %+.15g g', kind, grams)
		FROM movement m JOIN lot l ON l.id = lot_id JOIN powder p ON p.id = l.powder_id ORDER BY moved_on DESC, m.id DESC`,
	Clients: `SELECT id, date(recorded_at), name, (SELECT printf('%d reading%s', count(*), iif(count(*) = 1, '', 's')) FROM reading WHERE client_id = client.id) FROM client ORDER BY name COLLATE NOCASE`,
	Skins: `SELECT s.id, date(s.recorded_at), coalesce(nullif(s.name, ''), 'skin ' || s.id), printf('L* %.1f a* %.1f b* %.1f, %s', lab_l, lab_a, lab_b, how) || coalesce(', of ' || c.name, '')
		FROM skin s LEFT JOIN client c ON c.id = client_id ORDER BY s.id DESC`,
	Blends: `SELECT b.id, date(b.recorded_at), coalesce(nullif(b.name, ''), 'blend ' || b.id),
		(SELECT group_concat(printf('%.15g %% %s', percent, powder_name), ', ') FROM blend_powder WHERE blend_id = b.id) || printf(', ΔE00 %.2f', de00)
		FROM blend b ORDER BY b.id DESC`,
	Batches: `SELECT b.id, coalesce(made_on, ''), coalesce(nullif(b.name, ''), 'batch ' || b.id), printf('%.15g g of %s', coalesce((SELECT round(sum(weighed_g), 6) FROM batch_weight WHERE batch_id = b.id HAVING count(*) = count(weighed_g)), planned_g), coalesce(nullif(base, ''), 'base'))
		|| iif(made_on IS NULL, ', planned', coalesce((SELECT printf(', %d of %d lines weighed', count(weighed_g), count(*)) FROM batch_weight WHERE batch_id = b.id HAVING count(weighed_g) < count(*)), '')) || coalesce((SELECT printf(', mended with %.15g g more', round(sum(coalesce(weighed_g, planned_g)), 6)) FROM correction k JOIN correction_weight ON correction_id = k.id WHERE batch_id = b.id HAVING count(*) > 0), '') || iif(json_valid(request), coalesce(', code ' || nullif(json_extract(request, '$.code'), ''), ''), ''),
		CASE WHEN made_on IS NULL THEN '' WHEN EXISTS (SELECT 1 FROM correction WHERE batch_id = b.id) THEN 'mended'
		WHEN EXISTS (SELECT 1 FROM batch_weight WHERE batch_id = b.id AND weighed_g IS NULL) THEN 'begun' ELSE iif(made_g IS NULL, 'weighed', 'made') END
		FROM batch b ORDER BY b.id DESC`,
	Readings: `SELECT r.id, taken_on, coalesce(c.name, p.name || ', lot ' || l.lot, 'batch ' || r.batch_id, nullif(s.name, ''), 'reading ' || r.id) || iif(r.place = '', '', ', ' || r.place),
		printf('L* %.1f a* %.1f b* %.1f, %s, %s', r.lab_l, r.lab_a, r.lab_b, r.how, seen)
		FROM reading r LEFT JOIN client c ON c.id = r.client_id LEFT JOIN lot l ON l.id = r.lot_id LEFT JOIN powder p ON p.id = l.powder_id LEFT JOIN skin s ON s.id = r.skin_id
		ORDER BY taken_on DESC, r.id DESC`,
	Corrections: `SELECT k.id, coalesce(k.made_on, ''), 'of ' || coalesce(nullif(b.name, ''), 'batch ' || b.id),
		printf('%.15g g added', (SELECT coalesce(sum(coalesce(weighed_g, planned_g)), 0) FROM correction_weight WHERE correction_id = k.id)) || iif(k.made_on IS NULL, ', planned', '')
		FROM correction k JOIN batch b ON b.id = batch_id ORDER BY k.id DESC`,
	Fits: `SELECT f.id, fitted_on, p.name || coalesce(', lot ' || l.lot, ''), printf('%s, mean ΔE00 %.2f', verdict, mean_de00)
		FROM fit f JOIN powder p ON p.id = f.powder_id LEFT JOIN lot l ON l.id = f.lot_id ORDER BY fitted_on DESC, f.id DESC`,
	Photos: `SELECT f.id, taken_on, coalesce(c.name, 'reading ' || reading_id, 'batch ' || batch_id, 'blend ' || blend_id, 'lot ' || lot_id, 'skin ' || skin_id, 'photo ' || f.id) || iif(place = '', '', ', ' || place),
		printf('%d × %d, %s', width_px, height_px, media_type)
		FROM photo f LEFT JOIN client c ON c.id = client_id ORDER BY taken_on DESC, f.id DESC`,
	Files: `SELECT f.id, date(f.recorded_at), path, trim(coalesce('of blend ' || blend_id, '') || coalesce(', for ' || c.name, ''), ', ') FROM file f LEFT JOIN client c ON c.id = client_id ORDER BY f.id DESC`,
}

// List returns a line for every record of a kind: by name where they have
// names of their own, else newest first.
func (b *Book) List(ctx context.Context, kind Kind) ([]Entry, error) {
	if _, err := kind.table(); err != nil {
		return nil, err
	}
	return b.list(ctx, kind, listSQL[kind])
}

// MadeFor returns a line for every blend or every batch made for a client, newest
// first.
func (b *Book) MadeFor(ctx context.Context, kind Kind, clientID int64) ([]Entry, error) {
	t, err := kind.table()
	if err != nil {
		return nil, err
	}
	return b.list(ctx, kind, "SELECT * FROM ("+listSQL[kind]+") WHERE id IN (SELECT id FROM "+t.name+" WHERE client_id = ?) ORDER BY id DESC", clientID)
}

func (b *Book) list(ctx context.Context, kind Kind, query string, args ...any) ([]Entry, error) {
	return gathered(ctx, b, func(rows *sql.Rows, e *Entry) error {
		e.Kind = kind
		var says sql.NullString
		at := []any{&e.ID, &e.On, &e.Title, &says}
		if kind == Batches {
			at = append(at, &e.Stage)
		}
		err := rows.Scan(at...)
		e.Says = says.String
		return err
	}, query, args...)
}

// Show returns the whole record of a kind with this id, as its own type: a *Powder,
// a *Lot, and so on. A photo comes without its picture.
func (b *Book) Show(ctx context.Context, kind Kind, id int64) (any, error) {
	t, err := kind.table()
	if err != nil {
		return nil, err
	}
	r, err := viewed(ctx, b, func(tx *sql.Tx) (record, error) { return t.one(ctx, tx, id) })
	if p, ok := r.(*Photo); ok {
		p.Data = nil
	}
	return r, err
}

// Fact is a field of a record of which something is known.
type Fact struct {
	Field string // its column; of a colour without _l, _a and _b
	Value any    // an int64, a float64, a string or a colour.Lab
	Of    string // what Value is the id of, such as a client; else empty
}

// Facts are what is known of a record that Show returned, in the order of its fields
// and without its documents and parts.
func Facts(of any) (facts []Fact) {
	t := tableWhere(func(t *table) bool { return t.of == reflect.TypeOf(of).Elem() })
	for _, c := range t.columns {
		f := Fact{c.name, c.value(of), c.ref}
		if f.Value == nil || f.Value == "" || c.kind == document || c.kind == picture || c.part > 0 {
			continue
		}
		switch at := c.at(of).(type) {
		case **colour.Spectrum:
			f.Value = "380 to 730 nm"
		case *colour.Lab:
			f.Field, f.Value = strings.TrimSuffix(c.name, "_l"), *at
		case **colour.Lab:
			f.Field, f.Value = strings.TrimSuffix(c.name, "_l"), **at
		}
		facts = append(facts, f)
	}
	return facts
}

// Delete removes one record that was written by mistake, with its parts. One
// that others stand on stays (ErrInUse), and a batch or a correction of which anything
// was weighed (ErrWeighed); a lot goes with its buyings. A client is removed by Forget.
func (b *Book) Delete(ctx context.Context, kind Kind, id int64) error {
	t, err := kind.table()
	if err != nil {
		return err
	}
	if kind == Clients {
		return fmt.Errorf("a client is removed with all their readings and photos: use forget")
	}
	where := fmt.Sprintf("%s %d", t.name, id)
	return b.update(ctx, where, func(tx *sql.Tx) error {
		switch kind {
		case Batches, Corrections:
			weighed, err := gather(ctx, tx, cell[string], "SELECT name FROM "+t.name+"_weight WHERE "+t.name+"_id = ? AND weighed_g IS NOT NULL", id)
			if err != nil {
				return err
			}
			if len(weighed) > 0 {
				return fmt.Errorf("%s: %w (%s), and a recall must find it", where, ErrWeighed, strings.Join(weighed, ", "))
			}
		case Lots:
			if _, err := tx.ExecContext(ctx, "DELETE FROM movement WHERE lot_id = ? AND kind = 'bought'", id); err != nil {
				return err
			}
		}
		result, err := tx.ExecContext(ctx, "DELETE FROM "+t.name+" WHERE id = ?", id)
		if code(err) == sqlite3.SQLITE_CONSTRAINT {
			return fmt.Errorf("%s: %w (%s); delete those first", where, ErrInUse, standing(ctx, tx, t, id))
		}
		if err != nil {
			return err
		}
		if n, err := result.RowsAffected(); err != nil || n == 0 {
			return fmt.Errorf("%s: %w", where, ErrNotFound)
		}
		return nil
	})
}

// standing names a record that refers to the one in t with this id.
func standing(ctx context.Context, tx *sql.Tx, t *table, id int64) string {
	for _, other := range tables {
		for _, c := range other.columns {
			if c.ref != t.name || strings.HasPrefix(other.name, t.name+"_") {
				continue
			}
			var key int64
			query := "SELECT " + other.columns[0].name + " FROM " + other.name + " WHERE " + c.name + " = ? LIMIT 1"
			if tx.QueryRowContext(ctx, query, id).Scan(&key) == nil {
				return fmt.Sprintf("%s %d is one", strings.Split(other.name, "_")[0], key)
			}
		}
	}
	return "some other record"
}
