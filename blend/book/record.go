package book

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// What every kind of record is read and written with. T is the type of a record: a
// Powder, a Lot, and so on.

// Add writes a new record, with its parts, and returns its id. A day that is not
// given is today. What a record tells of powders and lots that the book has is
// completed by them.
func Add[T any](ctx context.Context, b *Book, r T) (id int64, err error) {
	t := tableOf[T]()
	where := t.called(t.row(&r))
	err = b.update(ctx, where, func(tx *sql.Tx) error {
		id, err = t.add(ctx, tx, &r, where)
		return err
	})
	if err != nil {
		return 0, err
	}
	return id, nil
}

// called is what errors call a new record.
func (t *table) called(row []any) string {
	for _, name := range []string{"name", "lot", "path"} {
		if i := t.column(name); i >= 0 {
			return fmt.Sprintf("%s %q", t.name, row[i])
		}
	}
	return "the new " + t.name
}

// add writes a new record and its parts.
func (t *table) add(ctx context.Context, tx *sql.Tx, r record, where string) (int64, error) {
	if p, ok := r.(prepared); ok {
		if err := p.prepare(where); err != nil {
			return 0, err
		}
	}
	id, err := t.insert(ctx, tx, t.row(r), where)
	if parts := t.parts(); parts != nil && err == nil {
		err = parts.addParts(ctx, tx, r, id, where)
	}
	return id, err
}

// Get returns the record with this id, parts and all.
func Get[T any](ctx context.Context, b *Book, id int64) (T, error) {
	return viewed(ctx, b, func(tx *sql.Tx) (T, error) { return get[T](ctx, tx, id) })
}

// Named returns the record of this name, capitals aside, or with this id, which may
// have a # before it: of a type whose records are known by name.
func Named[T any](ctx context.Context, b *Book, nameOrID string) (T, error) {
	return viewed(ctx, b, func(tx *sql.Tx) (T, error) { return named[T](ctx, tx, nameOrID) })
}

func named[T any](ctx context.Context, tx *sql.Tx, nameOrID string) (none T, err error) {
	t := tableOf[T]()
	type entry struct {
		id   int64
		name string
	}
	all, err := gather(ctx, tx, func(rows *sql.Rows, e *entry) error { return rows.Scan(&e.id, &e.name) },
		"SELECT id, name FROM "+t.name+" ORDER BY name = ? DESC", nameOrID)
	if err != nil {
		return none, err
	}
	i := slices.IndexFunc(all, func(e entry) bool { return foldName(e.name) == foldName(nameOrID) })
	if i < 0 {
		id, _ := strconv.ParseInt(strings.TrimPrefix(nameOrID, "#"), 10, 64)
		i = slices.IndexFunc(all, func(e entry) bool { return e.id == id })
	}
	if i < 0 {
		return none, fmt.Errorf("%s %q: %w", t.name, nameOrID, ErrNotFound)
	}
	return get[T](ctx, tx, all[i].id)
}

// All returns all records of a type: by name or by day where they have one of their
// own, else in the order they were written.
func All[T any](ctx context.Context, b *Book) ([]T, error) {
	return all[T](ctx, b, tableOf[T]().inOrder())
}

// Of returns the records of a type that refer to another, in the order of All:
// Of[Reading](ctx, b, "client_id", 3).
func Of[T any](ctx context.Context, b *Book, column string, id int64) ([]T, error) {
	t := tableOf[T]()
	if i := t.column(column); i < 0 || t.columns[i].ref == "" {
		return nil, &FieldError{t.name, column, "refers to no record"}
	}
	return all[T](ctx, b, "WHERE "+column+" = ? "+t.inOrder(), id)
}

func all[T any](ctx context.Context, b *Book, where string, args ...any) ([]T, error) {
	return viewed(ctx, b, func(tx *sql.Tx) ([]T, error) { return find[T](ctx, tx, where, args...) })
}

// viewed is what look finds in one unchanging state of the book.
func viewed[T any](ctx context.Context, b *Book, look func(*sql.Tx) (T, error)) (found T, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		found, err = look(tx)
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
func gathered[T any](ctx context.Context, b *Book, scan func(*sql.Rows, *T) error, query string, args ...any) ([]T, error) {
	return viewed(ctx, b, func(tx *sql.Tx) ([]T, error) { return gather(ctx, tx, scan, query, args...) })
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
