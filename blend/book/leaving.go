package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"maps"
	"slices"
)

// leaving is what goes with clients, when they are forgotten or left out of an
// export: their skins, the readings and photos of them, and, in the blends,
// batches and corrections made for them, whatever tells of them. Powders, lots
// and weights stay, so that a recall still finds every batch.
type leaving struct {
	gone    map[string]ids // by table: records that go
	cleared map[string]ids // by table: records that stay, emptied of what is personal
}

type ids map[int64]bool

// list is the ids as JSON, for SQLite's json_each.
func (s ids) list() string {
	text, _ := json.Marshal(slices.Collect(maps.Keys(s))) // whole numbers always marshal
	return string(text)
}

// whoLeaves finds what goes with the client, or with all of them where
// clientID is 0.
func whoLeaves(ctx context.Context, tx *sql.Tx, clientID int64) (l *leaving, err error) {
	l = &leaving{gone: map[string]ids{}, cleared: map[string]ids{}}
	collect := func(into map[string]ids, table, where string, args ...any) (list string) {
		found := ids{}
		into[table] = found
		if err != nil {
			return ""
		}
		var all []int64
		all, err = gather(ctx, tx, cell[int64], "SELECT id FROM "+table+" WHERE "+where, args...)
		for _, id := range all {
			found[id] = true
		}
		return found.list()
	}
	const in = " IN (SELECT value FROM json_each(?))"
	clients := collect(l.gone, "client", "?1 = 0 OR id = ?1", clientID)
	skins := collect(l.gone, "skin", "client_id"+in, clients)
	blends := collect(l.cleared, "blend", "client_id"+in+" OR skin_id"+in, clients, skins)
	batches := collect(l.cleared, "batch", "client_id"+in+" OR blend_id"+in, clients, blends)
	collect(l.gone, "file", "client_id"+in+" OR blend_id"+in+" OR batch_id"+in, clients, blends, batches)
	// A batch read in the jar or on a card tells nothing of the person.
	readings := collect(l.gone, "reading", "client_id"+in+" OR skin_id"+in+" OR seen = 'skin' AND batch_id"+in, clients, skins, batches)
	collect(l.cleared, "correction", "batch_id"+in+" OR reading_id"+in, batches, readings)
	collect(l.gone, "photo", "client_id"+in+" OR skin_id"+in+" OR reading_id"+in+" OR blend_id"+in+" OR batch_id"+in,
		clients, skins, readings, blends, batches)
	return l, err
}

// row reports whether a row stays, and empties it of what is personal where it
// stays emptied.
func (l *leaving) row(t *table, row []any) (stays bool) {
	key, _ := row[0].(int64)
	if t.numbered() && l.gone[t.name][key] {
		return false
	}
	for i := range t.columns {
		c := &t.columns[i]
		id, _ := row[i].(int64)
		switch {
		case !t.numbered() && c.ref != "" && l.gone[c.ref][id]:
			return false
		case !t.numbered() || !c.personal || !l.cleared[t.name][key]:
		case c.ref != "":
			if l.gone[c.ref][id] {
				row[i] = nil
			}
		case c.kind == text:
			row[i] = ""
		default:
			row[i] = nil
		}
	}
	return true
}
