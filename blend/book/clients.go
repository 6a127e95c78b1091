package book

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strconv"
	"time"
)

// Client is a person shades are made for. Keep no more than the work needs;
// see Forget.
type Client struct {
	ID         int64     `json:"id"`
	Name       string    `json:"name"` // its own among the clients, capitals aside
	Note       string    `json:"note,omitempty"`
	RecordedAt time.Time `json:"recorded_at"`
}

func (c *Client) columns() []column {
	return columns(id(&c.ID), word("name", &c.Name).given(), word("note", &c.Note), recorded(&c.RecordedAt))
}

// AddClient writes a new client and returns the id.
func (b *Book) AddClient(ctx context.Context, c Client) (int64, error) {
	return b.add(ctx, "client", fmt.Sprintf("client %q", c.Name), &c)
}

// Client returns the client of this name, capitals aside, or with this id.
func (b *Book) Client(ctx context.Context, nameOrID string) (c Client, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		c, err = clientNamed(ctx, tx, nameOrID)
		return err
	})
	return c, err
}

func clientNamed(ctx context.Context, tx *sql.Tx, nameOrID string) (Client, error) {
	all, err := find[Client](ctx, tx, "client", "ORDER BY name = ? DESC", nameOrID)
	if err != nil {
		return Client{}, err
	}
	i := slices.IndexFunc(all, func(c Client) bool { return foldName(c.Name) == foldName(nameOrID) })
	if i < 0 {
		id, _ := strconv.ParseInt(nameOrID, 10, 64)
		i = slices.IndexFunc(all, func(c Client) bool { return c.ID == id })
	}
	if i < 0 {
		return Client{}, fmt.Errorf("client %q: %w", nameOrID, ErrNotFound)
	}
	return all[i], nil
}

// soleClient refuses a client's row with a name that another has, capitals
// aside, which SQLite only knows of English letters.
func soleClient(ctx context.Context, tx *sql.Tx, row []any, where string) error {
	others, err := gather(ctx, tx, cell[string], "SELECT name FROM client WHERE id IS NOT ?", row[0])
	for _, other := range others {
		if name, ok := row[1].(string); ok && foldName(other) == foldName(name) {
			return &FieldError{where, "name", "already used by another record; each must have its own"}
		}
	}
	return err
}

// Clients returns all clients by name.
func (b *Book) Clients(ctx context.Context) ([]Client, error) {
	return all[Client](ctx, b, "client", "ORDER BY name COLLATE NOCASE")
}
