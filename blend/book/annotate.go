package book

import (
	"context"
	"database/sql"
	"fmt"
)

// SetNote writes the note of a record over.
func (b *Book) SetNote(ctx context.Context, kind Kind, id int64, note string) error {
	return b.setText(ctx, kind, id, "note", note)
}

// SetName writes the name of a record over, where its kind has names.
func (b *Book) SetName(ctx context.Context, kind Kind, id int64, name string) error {
	return b.setText(ctx, kind, id, "name", name)
}

func (b *Book) setText(ctx context.Context, kind Kind, id int64, field, value string) error {
	t, err := kind.table()
	if err != nil {
		return err
	}
	where := fmt.Sprintf("%s %d", t.name, id)
	at := t.column(field)
	if at < 0 {
		return &FieldError{where, field, "a " + t.name + " has none"}
	}
	return b.update(ctx, where, func(tx *sql.Tx) error {
		stored, err := t.columns[at].check(value)
		if err != nil {
			return &FieldError{where, field, err.Error()}
		}
		result, err := tx.ExecContext(ctx, "UPDATE "+t.name+" SET "+field+" = ? WHERE id = ?", stored, id)
		if err != nil {
			return err
		}
		if n, err := result.RowsAffected(); err != nil || n == 0 {
			return fmt.Errorf("%s: %w", where, ErrNotFound)
		}
		return nil
	})
}
