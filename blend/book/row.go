package book

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"tawny/colour"
)

// A record is kept as one row of a table: a pointer to a Powder, a Lot, and so on. Its
// type says once which columns that row has; SQL, CSV, JSON, check and forget all walk
// those. A row is the columns' values in their order: nil, int64, float64, string or
// []byte.
type record any

// prepared is a record that completes or refuses itself before it is first
// written.
type prepared interface{ prepare(where string) error }

// at is where in a record a column's value stands: a pointer.
func (c *column) at(r record) any { return reflect.ValueOf(r).Elem().Field(c.field).Addr().Interface() }

// ofLab is the column's part of a colour.
func (c *column) ofLab(lab *colour.Lab) *float64 {
	return []*float64{&lab.L, &lab.A, &lab.B}[c.part]
}

// value is what the record has for the column. Ids of 0, days that may
// be unknown and nil pointers are nil; a time that was not given is now, and another
// day today.
func (c *column) value(r record) any {
	switch at := c.at(r).(type) {
	case *int64:
		if *at == 0 && (c.name == "id" || c.ref != "") {
			return nil
		}
		return *at
	case **int64:
		return or(*at)
	case *float64:
		return *at
	case **float64:
		return or(*at)
	case *colour.Lab:
		return *c.ofLab(at)
	case **colour.Lab:
		if *at != nil {
			return *c.ofLab(*at)
		}
	case *string:
		switch {
		case *at != "" || c.kind != day:
			return *at
		case !c.null:
			return today()
		}
	case *time.Time:
		if at.IsZero() {
			return time.Now().UTC().Format(time.RFC3339)
		}
		return at.UTC().Format(time.RFC3339)
	case *json.RawMessage:
		if len(*at) > 0 {
			return string(*at)
		}
	case **colour.Spectrum:
		if *at == nil {
			return nil
		}
		list, err := json.Marshal(*at)
		if err != nil { // NaN or infinite, which check will refuse
			return "not numbers"
		}
		return string(list)
	case *[]byte:
		return *at
	}
	return nil
}

// set puts a row's value into the record.
func (c *column) set(r record, v any) error {
	ok := false
	switch at := c.at(r).(type) {
	case *int64:
		*at, ok = v.(int64)
	case **int64:
		ok = setNew(at, v)
	case *float64:
		*at, ok = v.(float64)
	case **float64:
		ok = setNew(at, v)
	case *colour.Lab:
		*c.ofLab(at), ok = v.(float64)
	case **colour.Lab:
		if *at == nil {
			*at = new(colour.Lab)
		}
		*c.ofLab(*at), ok = v.(float64)
	case *string:
		*at, ok = v.(string)
	case *[]byte:
		*at, ok = v.([]byte)
	case *json.RawMessage:
		var s string
		s, ok = v.(string)
		*at = json.RawMessage(s)
	case *time.Time:
		if s, isText := v.(string); isText {
			t, err := time.Parse(time.RFC3339, s)
			*at = t
			return err
		}
	case **colour.Spectrum:
		if s, isText := v.(string); isText {
			return json.Unmarshal([]byte(s), at)
		}
	}
	if !ok {
		return fmt.Errorf("the file holds a %T here", v)
	}
	return nil
}

func setNew[T any](at **T, v any) bool {
	x, ok := v.(T)
	*at = &x
	return ok
}

// or is what a pointer leads to, nil where it leads nowhere.
func or[T any](at *T) any {
	if at == nil {
		return nil
	}
	return *at
}

// row lays a record out in its columns.
func (t *table) row(r record) []any {
	row := make([]any, len(t.columns))
	for i := range t.columns {
		row[i] = t.columns[i].value(r)
	}
	return row
}

// read makes a record of a row of t.
func (t *table) read(row []any) (record, error) {
	r := reflect.New(t.of).Interface()
	for i := range t.columns {
		if row[i] == nil {
			continue
		}
		if err := t.columns[i].set(r, row[i]); err != nil {
			return nil, &FieldError{fmt.Sprintf("%s %v", t.name, row[0]), t.columns[i].name, err.Error()}
		}
	}
	return r, nil
}

// parts is the table of what t's records have in a list, nil where they have none.
func (t *table) parts() *table {
	return tableWhere(func(p *table) bool { return p.kind == "" && p.columns[0].ref == t.name })
}

// list is where a record has its parts.
func (t *table) list(r record) reflect.Value {
	v := reflect.ValueOf(r).Elem()
	return v.Field(slices.IndexFunc(reflect.VisibleFields(v.Type()), func(f reflect.StructField) bool { return f.Type == reflect.SliceOf(t.of) }))
}

// readParts fills the lists of records in.
func (t *table) readParts(ctx context.Context, tx *sql.Tx, of record, id int64) error {
	found, err := t.records(ctx, tx, "WHERE "+t.columns[0].name+" = ? "+t.orderSQL(), id)
	list := reflect.MakeSlice(reflect.SliceOf(t.of), len(found), len(found))
	for i, part := range found {
		list.Index(i).Set(reflect.ValueOf(part).Elem())
	}
	t.list(of).Set(list)
	return err
}

// addParts writes a new record's.
func (t *table) addParts(ctx context.Context, tx *sql.Tx, of record, id int64, where string) error {
	_, noun, _ := strings.Cut(t.name, "_")
	list := t.list(of)
	for i := range list.Len() {
		part, where := reflect.New(t.of), fmt.Sprintf("%s, %s %d", where, noun, i+1)
		part.Elem().Set(list.Index(i)) // the caller's stays as it is
		if m, ok := part.Interface().(mention); ok {
			if err := m.resolve(ctx, tx, where); err != nil {
				return err
			}
		}
		row := t.row(part.Interface())
		row[0] = id
		if t.columns[1].name == "position" {
			row[1] = int64(i + 1)
		}
		if _, err := t.insert(ctx, tx, row, where); err != nil {
			return err
		}
	}
	return nil
}

// insert checks a new row and writes it, returning the id it was given where the
// table gives ids. where names the record for errors.
func (t *table) insert(ctx context.Context, tx *sql.Tx, row []any, where string) (int64, error) {
	if t.numbered() {
		row[0] = int64(1) // stands in for the one to be given
	}
	if err := cmp.Or(t.check(row, where), t.gate(row, where)); err != nil {
		return 0, err
	}
	if t.numbered() {
		row[0] = nil
	}
	// A missing record is reported before SQLite would, and by its field.
	for i, c := range t.columns {
		if c.ref == "" || row[i] == nil {
			continue
		}
		var found bool
		err := tx.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM "+c.ref+" WHERE id = ?)", row[i]).Scan(&found)
		if err != nil {
			return 0, err
		}
		if !found {
			return 0, &FieldError{where, c.name, fmt.Sprintf("there is no %s %d", c.ref, row[i])}
		}
	}
	if err := t.sole(ctx, tx, row, where); err != nil {
		return 0, err
	}
	result, err := tx.ExecContext(ctx, t.insertSQL(), row...)
	if err != nil || !t.numbered() {
		return 0, err
	}
	return result.LastInsertId()
}

// replace checks a row and writes it over the one with its key.
func (t *table) replace(ctx context.Context, tx *sql.Tx, row []any, where string) error {
	if err := cmp.Or(t.check(row, where), t.sole(ctx, tx, row, where)); err != nil {
		return err
	}
	return t.overwrite(ctx, tx, row, where)
}

// overwrite is replace for a row that need not be sound.
func (t *table) overwrite(ctx context.Context, tx *sql.Tx, row []any, where string) error {
	names := t.names()
	query := "UPDATE " + t.name + " SET " + strings.Join(names[t.key:], " = ?, ") + " = ? WHERE " +
		strings.Join(names[:t.key], " = ? AND ") + " = ?"
	result, err := tx.ExecContext(ctx, query, append(append([]any{}, row[t.key:]...), row[:t.key]...)...)
	if err != nil {
		return err
	}
	if n, err := result.RowsAffected(); err != nil || n == 0 {
		return fmt.Errorf("%s: %w", where, ErrNotFound)
	}
	return nil
}

// change reads the row of t with this id, lets edit set its columns and writes
// it back.
func (t *table) change(ctx context.Context, tx *sql.Tx, id int64, where string, edit func(row []any)) error {
	var row []any
	err := t.eachRow(ctx, tx, "WHERE id = ?", []any{id}, func(r []any) error {
		row = append(row, r...)
		return nil
	})
	if err != nil {
		return err
	}
	if row == nil {
		return fmt.Errorf("%s: %w", where, ErrNotFound)
	}
	edit(row)
	return t.replace(ctx, tx, row, where)
}

// eachRow calls with for each row of t that matches where, e.g. "WHERE lot_id
// = ?". The row is used again for the next one.
func (t *table) eachRow(ctx context.Context, tx *sql.Tx, where string, args []any, with func(row []any) error) error {
	rows, err := tx.QueryContext(ctx, "SELECT "+strings.Join(t.names(), ", ")+" FROM "+t.name+" "+where, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	row, into := make([]any, len(t.columns)), make([]any, len(t.columns))
	for i := range row {
		into[i] = &row[i]
	}
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return err
		}
		if err := with(row); err != nil {
			return err
		}
	}
	return rows.Err()
}

// records returns the records of t that match where, with their parts.
func (t *table) records(ctx context.Context, tx *sql.Tx, where string, args ...any) (found []record, err error) {
	var keys []int64
	err = t.eachRow(ctx, tx, where, args, func(row []any) error {
		r, err := t.read(row)
		key, _ := row[0].(int64)
		found, keys = append(found, r), append(keys, key)
		return err
	})
	for i, r := range found {
		if parts := t.parts(); parts != nil && err == nil {
			err = parts.readParts(ctx, tx, r, keys[i])
		}
	}
	return found, err
}

// one is the record of t with this id.
func (t *table) one(ctx context.Context, tx *sql.Tx, id int64) (record, error) {
	found, err := t.records(ctx, tx, "WHERE id = ?", id)
	if err == nil && len(found) == 0 {
		err = fmt.Errorf("%s %d: %w", t.name, id, ErrNotFound)
	}
	if err != nil {
		return nil, err
	}
	return found[0], nil
}

// find is records of a type's own table, as that type.
func find[T any](ctx context.Context, tx *sql.Tx, where string, args ...any) ([]T, error) {
	return findIn[T](ctx, tx, tableOf[T](), where, args...)
}

func findIn[T any](ctx context.Context, tx *sql.Tx, t *table, where string, args ...any) ([]T, error) {
	records, err := t.records(ctx, tx, where, args...)
	if err != nil {
		return nil, err
	}
	found := make([]T, len(records))
	for i, r := range records {
		found[i] = *r.(*T)
	}
	return found, nil
}

// get returns the record with this id.
func get[T any](ctx context.Context, tx *sql.Tx, id int64) (none T, err error) {
	r, err := tableOf[T]().one(ctx, tx, id)
	if err != nil {
		return none, err
	}
	return *r.(*T), nil
}
