package book

import (
	"context"
	"database/sql"
	"time"
)

// Client is a person shades are made for. Keep no more than the work needs;
// see Forget.
type Client struct {
	ID         int64     `json:"id"`
	Name       string    `json:"name" book:"required"` // its own among the clients, capitals aside
	Note       string    `json:"note,omitempty"`
	RecordedAt time.Time `json:"recorded_at"`
}

// sole refuses a client's row with a name that another has, capitals
// aside, which SQLite only knows of English letters.
func (t *table) sole(ctx context.Context, tx *sql.Tx, row []any, where string) error {
	if t.name != "client" {
		return nil
	}
	others, err := gather(ctx, tx, cell[string], "SELECT name FROM client WHERE id IS NOT ?", row[0])
	for _, other := range others {
		if name, ok := row[1].(string); ok && foldName(other) == foldName(name) {
			return &FieldError{where, "name", "already used by another record; each must have its own"}
		}
	}
	return err
}

// ClientsIn are the numbers of the clients whose name, or a word of it that is not the
// workshop's, stands in a text.
func (b *Book) ClientsIn(ctx context.Context, text string) ([]int64, error) {
	return viewed(ctx, b, func(tx *sql.Tx) (ids []int64, err error) {
		all, err := find[Client](ctx, tx, "")
		for _, c := range all {
			if err == nil && newEraser(c.Name, isTrade).find(text, nearWords) != nil {
				ids = append(ids, c.ID)
			}
		}
		return ids, err
	})
}
