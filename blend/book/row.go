package book

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"tawny/colour"
)

// A record is kept as one row of a table. It says once which columns that row
// has and where in the record each one's value stands; SQL, CSV, JSON, check
// and forget all walk those. A row is the columns' values in their order: nil,
// int64, float64, string or []byte.
type record interface {
	columns() []column
}

// prepared is a record that completes or refuses itself before it is first
// written.
type prepared interface{ prepare(where string) error }

// whole is a record with parts in a table of their own.
type whole interface {
	record
	parts() parts
}

// parts are read and written by the id of the record they belong to.
type parts interface {
	read(ctx context.Context, tx *sql.Tx, id int64) error
	write(ctx context.Context, tx *sql.Tx, id int64, where string) error
}

// partList is the parts that a record has in the named table, whose key is the
// record's id and then their position or what else tells them apart.
type partList[T any, R kept[T]] struct {
	table string
	list  *[]T
}

func (p partList[T, R]) read(ctx context.Context, tx *sql.Tx, id int64) (err error) {
	t := tableNamed(p.table)
	*p.list, err = findIn[T](ctx, tx, t, "WHERE "+t.columns[0].name+" = ? "+t.orderSQL(), id)
	return err
}

func (p partList[T, R]) write(ctx context.Context, tx *sql.Tx, id int64, where string) error {
	t := tableNamed(p.table)
	_, noun, _ := strings.Cut(p.table, "_")
	for i, part := range *p.list {
		r, where := R(&part), fmt.Sprintf("%s, %s %d", where, noun, i+1)
		if m, ok := any(r).(mention); ok {
			if err := m.resolve(ctx, tx, where); err != nil {
				return err
			}
		}
		row := rowOf(r)
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

// labPart is one number of a colour that may be unknown.
type labPart struct {
	of   **colour.Lab
	part func(*colour.Lab) *float64
}

// value is what the record has for the column. Ids of 0, days that may
// be unknown and nil pointers are nil; a time that was not given is now, and another
// day today.
func (c *column) value() any {
	switch at := c.at.(type) {
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
	case labPart:
		if *at.of != nil {
			return *at.part(*at.of)
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
func (c *column) set(v any) error {
	ok := false
	switch at := c.at.(type) {
	case *int64:
		*at, ok = v.(int64)
	case **int64:
		ok = setNew(at, v)
	case *float64:
		*at, ok = v.(float64)
	case **float64:
		ok = setNew(at, v)
	case labPart:
		if *at.of == nil {
			*at.of = new(colour.Lab)
		}
		*at.part(*at.of), ok = v.(float64)
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

// rowOf lays a record out in its columns.
func rowOf(r record) []any {
	columns := r.columns()
	row := make([]any, len(columns))
	for i := range columns {
		row[i] = columns[i].value()
	}
	return row
}

// read makes a record of a row of t.
func (t *table) read(row []any) (record, error) {
	r := t.empty()
	columns := r.columns()
	for i := range columns {
		if row[i] == nil {
			continue
		}
		if err := columns[i].set(row[i]); err != nil {
			return nil, &FieldError{fmt.Sprintf("%s %v", t.name, row[0]), columns[i].name, err.Error()}
		}
	}
	return r, nil
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
	if t.name == "client" {
		if err := soleClient(ctx, tx, row, where); err != nil {
			return 0, err
		}
	}
	result, err := tx.ExecContext(ctx, t.insertSQL(), row...)
	if err != nil || !t.numbered() {
		return 0, err
	}
	return result.LastInsertId()
}

// replace checks a row and writes it over the one with its key.
func (t *table) replace(ctx context.Context, tx *sql.Tx, row []any, where string) error {
	if err := t.check(row, where); err != nil {
		return err
	}
	if t.name == "client" {
		if err := soleClient(ctx, tx, row, where); err != nil {
			return err
		}
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
	err = t.eachRow(ctx, tx, where, args, func(row []any) error {
		r, err := t.read(row)
		found = append(found, r)
		return err
	})
	for _, r := range found {
		if w, ok := r.(whole); ok && err == nil {
			err = w.parts().read(ctx, tx, *w.columns()[0].at.(*int64))
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
		found[i] = *any(r).(*T)
	}
	return found, nil
}

// get returns the record with this id.
func get[T any](ctx context.Context, tx *sql.Tx, id int64) (none T, err error) {
	r, err := tableOf[T]().one(ctx, tx, id)
	if err != nil {
		return none, err
	}
	return *any(r).(*T), nil
}
