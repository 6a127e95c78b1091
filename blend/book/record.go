package book

import (
	"context"
	"database/sql"
	"fmt"
)

// What every kind of record is read and written with.

func byID[T any](ctx context.Context, b *Book, tableName string, id int64) (found T, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		found, err = oneByID[T](ctx, tx, tableName, id)
		return err
	})
	return found, err
}

func all[T any](ctx context.Context, b *Book, tableName, where string, args ...any) (found []T, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		found, err = find[T](ctx, tx, tableName, where, args...)
		return err
	})
	return found, err
}

// gather returns what scan makes of each row of a query whose rows are not a
// table's.
func gather[T any](ctx context.Context, tx *sql.Tx, scan func(*sql.Rows, *T) error, query string, args ...any) ([]T, error) {
	rows, err := tx.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	found := []T{}
	for rows.Next() {
		var one T
		if err := scan(rows, &one); err != nil {
			return nil, err
		}
		found = append(found, one)
	}
	return found, rows.Err()
}

// cell scans the one column of a row.
func cell[T any](rows *sql.Rows, to *T) error { return rows.Scan(to) }

// gathered is gather in a view of its own.
func gathered[T any](ctx context.Context, b *Book, scan func(*sql.Rows, *T) error, query string, args ...any) (found []T, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		found, err = gather(ctx, tx, scan, query, args...)
		return err
	})
	return found, err
}

// add writes one new record, and with it what then writes of its parts.
func (b *Book) add(ctx context.Context, tableName, where string, r record, then ...func(tx *sql.Tx, id int64) error) (id int64, err error) {
	err = b.update(ctx, where, func(tx *sql.Tx) error {
		if id, err = tableNamed(tableName).insert(ctx, tx, r, where); err != nil {
			return err
		}
		for _, write := range then {
			if err := write(tx, id); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return 0, err
	}
	return id, nil
}

// Set writes one field of a record over, where its kind has that.
func (b *Book) Set(ctx context.Context, kind Kind, id int64, field string, value any) error {
	t, err := kind.table()
	if err != nil {
		return err
	}
	where := fmt.Sprintf("%s %d", t.name, id)
	at := t.column(field)
	if at < 0 {
		return &FieldError{where, field, "a " + t.name + " has none"}
	}
	if value, err = t.columns[at].check(value); err == nil {
		err = t.columns[at].gate(value)
	}
	if err != nil {
		return &FieldError{where, field, err.Error()}
	}
	return b.update(ctx, where, func(tx *sql.Tx) error {
		return t.change(ctx, tx, id, where, func(row []any) { row[at] = value })
	})
}
