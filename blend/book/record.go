package book

import (
	"context"
	"database/sql"
	"fmt"
)

// What every kind of record is read and written over with.

func byID[T any](ctx context.Context, b *Book, tableName string, id int64) (found T, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		found, err = oneByID[T](ctx, tx, tableName, id)
		return err
	})
	return found, err
}

func oneByID[T any](ctx context.Context, tx *sql.Tx, tableName string, id int64) (T, error) {
	return one[T](ctx, tx, tableNamed(tableName), fmt.Sprintf("%s %d", tableName, id), "WHERE id = ?", id)
}

func all[T any](ctx context.Context, b *Book, tableName, where string, args ...any) (found []T, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		found, err = find[T](ctx, tx, tableNamed(tableName), where, args...)
		return err
	})
	return found, err
}

func (b *Book) replaceRecord(ctx context.Context, tableName string, id int64, record any) error {
	where := fmt.Sprintf("%s %d", tableName, id)
	return b.update(ctx, where, func(tx *sql.Tx) error {
		return tableNamed(tableName).replace(ctx, tx, record, where)
	})
}

// exists reports whether a record with this id is in the table.
func exists(ctx context.Context, tx *sql.Tx, tableName string, id int64) (found bool, err error) {
	err = tx.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM "+tableName+" WHERE id = ?)", id).Scan(&found)
	return found, err
}

// checkRefs reports the first field of record that names a record there is
// none of, before SQLite would, and by its name.
func (t *table) checkRefs(ctx context.Context, tx *sql.Tx, record any, where string) error {
	row := t.toRow(record)
	for i := range t.columns {
		c := &t.columns[i]
		id, ok := row[i].(int64)
		if c.ref == "" || !ok {
			continue
		}
		found, err := exists(ctx, tx, c.ref, id)
		if err != nil {
			return err
		}
		if !found {
			return &FieldError{where, c.name, fmt.Sprintf("there is no %s %d", c.ref, id)}
		}
	}
	return nil
}

// add writes one new record that has no parts.
func (b *Book) add(ctx context.Context, tableName, where string, record any) (id int64, err error) {
	t := tableNamed(tableName)
	err = b.update(ctx, where, func(tx *sql.Tx) error {
		if err := t.checkRefs(ctx, tx, record, where); err != nil {
			return err
		}
		id, err = t.insert(ctx, tx, record, where)
		return err
	})
	if err != nil {
		return 0, err
	}
	return id, nil
}
