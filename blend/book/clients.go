package book

import (
	"context"
	"database/sql"
	"fmt"
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

// UpdateClient writes c over the client with its id.
func (b *Book) UpdateClient(ctx context.Context, c Client) error {
	return b.put(ctx, "client", c.ID, &c)
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
	id, _ := strconv.ParseInt(nameOrID, 10, 64)
	return one[Client](ctx, tx, "client", fmt.Sprintf("client %q", nameOrID),
		"WHERE name = ?1 COLLATE NOCASE OR id = ?2 ORDER BY name = ?1 COLLATE NOCASE DESC", nameOrID, id)
}

// Clients returns all clients by name.
func (b *Book) Clients(ctx context.Context) ([]Client, error) {
	return all[Client](ctx, b, "client", "ORDER BY name COLLATE NOCASE")
}
