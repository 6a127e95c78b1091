package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"iter"
	"reflect"
	"strings"
	"time"

	"tawny/colour"
)

// A record's struct and its row are the same thing in two forms: a field whose
// JSON name is a column's name goes into that column. A colour goes into three
// columns, named after it with _l, _a, _b. Zero ids, empty days and nil
// pointers are NULL where the column allows it. Other fields are left alone.

var (
	timeType     = reflect.TypeFor[time.Time]()
	labType      = reflect.TypeFor[colour.Lab]()
	spectrumType = reflect.TypeFor[*colour.Spectrum]()
	rawType      = reflect.TypeFor[json.RawMessage]()
)

// fieldsOf yields a struct's fields by their JSON names, those of an embedded
// struct among them.
func fieldsOf(v reflect.Value) iter.Seq2[string, reflect.Value] {
	return func(yield func(string, reflect.Value) bool) {
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if f.Anonymous {
				for name, inner := range fieldsOf(v.Field(i)) {
					if !yield(name, inner) {
						return
					}
				}
				continue
			}
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			if !yield(name, v.Field(i)) {
				return
			}
		}
	}
}

// toRow lays record, a struct or a pointer to one, out in t's columns.
func (t *table) toRow(record any) []any {
	v := reflect.Indirect(reflect.ValueOf(record))
	row := make([]any, len(t.columns))
	for name, f := range fieldsOf(v) {
		if at := t.column(name + "_l"); at >= 0 {
			if f.Kind() == reflect.Pointer {
				if f.IsNil() {
					continue
				}
				f = f.Elem()
			}
			if f.Type() == labType {
				c := f.Interface().(colour.Lab)
				row[at], row[at+1], row[at+2] = c.L, c.A, c.B
				continue
			}
		}
		if at := t.column(name); at >= 0 {
			row[at] = toValue(f, &t.columns[at])
		}
	}
	return row
}

func toValue(f reflect.Value, c *column) any {
	switch {
	case f.Type() == timeType:
		at := f.Interface().(time.Time)
		if at.IsZero() {
			at = time.Now()
		}
		return at.UTC().Format(time.RFC3339)
	case f.Type() == rawType:
		if f.Len() == 0 {
			return nil
		}
		return string(f.Bytes())
	case f.Type() == spectrumType:
		if f.IsNil() {
			return nil
		}
		list, err := json.Marshal(f.Interface())
		if err != nil { // NaN or infinite, which check will refuse
			return "not numbers"
		}
		return string(list)
	}
	if f.Kind() == reflect.Pointer {
		if f.IsNil() {
			return nil
		}
		f = f.Elem()
	}
	switch f.Kind() {
	case reflect.Int64:
		if f.Int() == 0 && (c.name == "id" || c.ref != "") {
			return nil
		}
		return f.Int()
	case reflect.Float64:
		return f.Float()
	case reflect.String:
		if f.Len() == 0 && c.kind == day {
			return nil
		}
		return f.String()
	}
	if b, ok := f.Interface().([]byte); ok {
		return b
	}
	panic(fmt.Sprintf("book: column %s has no form for a %s", c.name, f.Type()))
}

// fromRow fills record, a pointer to a struct, from a row of the named columns.
func (t *table) fromRow(row []any, record any) error {
	for name, f := range fieldsOf(reflect.ValueOf(record).Elem()) {
		if at := t.column(name + "_l"); at >= 0 {
			l, ok := row[at].(float64)
			a, okA := row[at+1].(float64)
			b, okB := row[at+2].(float64)
			c := colour.Lab{L: l, A: a, B: b}
			switch {
			case f.Type() == labType:
				f.Set(reflect.ValueOf(c))
				continue
			case f.Type() == reflect.PointerTo(labType):
				if ok && okA && okB {
					f.Set(reflect.ValueOf(&c))
				}
				continue
			}
		}
		at := t.column(name)
		if at < 0 || row[at] == nil {
			continue
		}
		if err := fromValue(row[at], f); err != nil {
			return &FieldError{fmt.Sprintf("%s %v", t.name, row[0]), name, err.Error()}
		}
	}
	return nil
}

func fromValue(value any, f reflect.Value) error {
	if s, ok := value.(string); ok {
		switch f.Type() {
		case timeType:
			at, err := time.Parse(time.RFC3339, s)
			f.Set(reflect.ValueOf(at))
			return err
		case rawType:
			f.SetBytes([]byte(s))
			return nil
		case spectrumType:
			f.Set(reflect.New(f.Type().Elem()))
			return json.Unmarshal([]byte(s), f.Interface())
		}
	}
	if f.Kind() == reflect.Pointer {
		f.Set(reflect.New(f.Type().Elem()))
		f = f.Elem()
	}
	v := reflect.ValueOf(value)
	if !v.CanConvert(f.Type()) || (v.Kind() == reflect.String) != (f.Kind() == reflect.String) {
		return fmt.Errorf("the file holds a %s here", v.Type())
	}
	f.Set(v.Convert(f.Type()))
	return nil
}

// insert checks record and writes it, returning the id it was given where the
// table gives ids. where names the record for errors.
func (t *table) insert(ctx context.Context, tx *sql.Tx, record any, where string) (int64, error) {
	row := t.toRow(record)
	if err := t.checkNew(row, where); err != nil {
		return 0, err
	}
	result, err := tx.ExecContext(ctx, t.insertSQL(), row...)
	if err != nil {
		return 0, err
	}
	if !t.numbered() {
		return 0, nil
	}
	return result.LastInsertId()
}

// checkNew is check for a row whose id is still to be given.
func (t *table) checkNew(row []any, where string) error {
	if !t.numbered() {
		return t.check(row, where)
	}
	row[0] = int64(1)
	err := t.check(row, where)
	row[0] = nil
	return err
}

// replace checks record and writes it over the one with its id.
func (t *table) replace(ctx context.Context, tx *sql.Tx, record any, where string) error {
	row := t.toRow(record)
	if err := t.check(row, where); err != nil {
		return err
	}
	set := strings.Join(t.names()[1:], " = ?, ") + " = ?"
	result, err := tx.ExecContext(ctx, "UPDATE "+t.name+" SET "+set+" WHERE id = ?", append(row[1:], row[0])...)
	if err != nil {
		return err
	}
	if n, err := result.RowsAffected(); err != nil || n == 0 {
		return fmt.Errorf("%s: %w", where, ErrNotFound)
	}
	return nil
}

// eachRow calls with for each row of the query, which must select t's columns.
// The row is used again for the next one.
func (t *table) eachRow(ctx context.Context, tx *sql.Tx, query string, args []any, with func(row []any) error) error {
	rows, err := tx.QueryContext(ctx, query, args...)
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

// find returns the records that match where, e.g. "WHERE lot_id = ?".
func find[T any](ctx context.Context, tx *sql.Tx, t *table, where string, args ...any) ([]T, error) {
	found := []T{}
	err := t.eachRow(ctx, tx, t.selectSQL()+" "+where, args, func(row []any) error {
		var record T
		if err := t.fromRow(row, &record); err != nil {
			return err
		}
		found = append(found, record)
		return nil
	})
	return found, err
}

// one returns the only record that matches where; what names it for errors.
func one[T any](ctx context.Context, tx *sql.Tx, t *table, what, where string, args ...any) (T, error) {
	found, err := find[T](ctx, tx, t, where, args...)
	if err == nil && len(found) == 0 {
		err = fmt.Errorf("%s: %w", what, ErrNotFound)
	}
	if err != nil {
		var none T
		return none, err
	}
	return found[0], nil
}
