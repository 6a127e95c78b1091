package book

import (
	"context"
	"database/sql"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
)

// Finding is something Check found.
type Finding struct {
	Serious bool   `json:"serious"` // the file or a record is broken; else only worth a look
	Where   string `json:"where"`   // the record, or the file
	Field   string `json:"field,omitempty"`
	Says    string `json:"says"`
}

// How far parts may stray from their total. Our own choice: grams by half a
// step of a 0.1 g balance, percentages by far less than any balance shows.
const (
	gramsTolerance   = "0.05"
	percentTolerance = "0.0001"
)

// Check reads the whole book: the file's own structure, that every reference
// has its record, that every value is one the book would take, and that what
// is written twice agrees. It changes nothing. A sound book gives none.
func (b *Book) Check(ctx context.Context) ([]Finding, error) {
	return viewed(ctx, b, func(tx *sql.Tx) ([]Finding, error) { return check(ctx, tx, b.path) })
}

func check(ctx context.Context, tx *sql.Tx, path string) ([]Finding, error) {
	c := checker{ctx: ctx, tx: tx, path: path, found: []Finding{}}
	for _, look := range []func() error{c.file, c.schema, c.references, c.records, c.agreement, c.movements} {
		if err := look(); err != nil {
			return nil, err
		}
	}
	return c.found, nil
}

type checker struct {
	ctx   context.Context
	tx    *sql.Tx
	path  string
	found []Finding
}

// each runs a query and gives each row, all as text, to with.
func (c *checker) each(query string, with func(cells []string)) error {
	_, err := gather(c.ctx, c.tx, func(rows *sql.Rows, _ *struct{}) error {
		names, err := rows.Columns()
		if err != nil {
			return err
		}
		found, into, cells := make([]sql.NullString, len(names)), make([]any, len(names)), make([]string, len(names))
		for i := range found {
			into[i] = &found[i]
		}
		if err := rows.Scan(into...); err != nil {
			return err
		}
		for i := range found {
			cells[i] = found[i].String
		}
		with(cells)
		return nil
	}, query)
	return err
}

func (c *checker) serious(where, field, says string) {
	c.found = append(c.found, Finding{true, where, field, says})
}

func (c *checker) look(where, field, says string) {
	c.found = append(c.found, Finding{false, where, field, says})
}

// file is SQLite's own check of pages, indexes and constraints.
func (c *checker) file() error {
	return c.each("PRAGMA integrity_check(100)", func(cells []string) {
		if cells[0] != "ok" {
			c.serious(c.path, "", cells[0])
		}
	})
}

// schema compares the tables, indexes and views with those of a new book.
func (c *checker) schema() error {
	fresh, err := freshSchema()
	if err != nil {
		return err
	}
	want := maps.Clone(fresh)
	err = c.each(schemaSQL, func(cells []string) {
		name := cells[0]
		switch sql, ok := want[name]; {
		case !ok && cells[2] != "table" && cells[2] != "index":
			c.serious(c.path, name, "a "+cells[2]+" that is not the book's own: it may change what is written or read; restore a backup from before it")
		case !ok:
			c.look(c.path, name, "not of the book's own making; nothing here uses it")
		case sql != cells[1]:
			c.serious(c.path, name, "not as the book makes it: some other program has changed it")
		}
		delete(want, name)
	})
	for _, name := range slices.Sorted(maps.Keys(want)) {
		c.serious(c.path, name, "missing: some other program has removed it")
	}
	return err
}

const schemaSQL = "SELECT name, sql, type FROM sqlite_schema WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\' ORDER BY name"

// freshSchema is the schema of a new book, by name.
var freshSchema = sync.OnceValues(func() (map[string]string, error) {
	ctx := context.Background()
	db, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return nil, err
	}
	defer db.Close()
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return nil, err
	}
	defer tx.Rollback()
	if err := migrateTo(ctx, tx, 0, len(migrations)); err != nil {
		return nil, err
	}
	schema := map[string]string{}
	fresh := checker{ctx: ctx, tx: tx}
	err = fresh.each(schemaSQL, func(cells []string) { schema[cells[0]] = cells[1] })
	return schema, err
})

func (c *checker) references() error {
	return c.each("PRAGMA foreign_key_check", func(cells []string) {
		c.serious(cells[0], "", fmt.Sprintf("row %s refers to a %s that is not there", cells[1], cells[2]))
	})
}

// records puts every value to the test a new one has to pass.
func (c *checker) records() error {
	for _, t := range tables {
		err := t.eachRow(c.ctx, c.tx, t.orderSQL(), nil, func(row []any) error {
			where := fmt.Sprintf("%s %v", t.name, row[0])
			if t.key == 2 {
				where += fmt.Sprintf(", %s %v", t.columns[1].name, row[1])
			}
			for i := range t.columns {
				if v, err := t.columns[i].check(row[i]); err != nil {
					c.serious(where, t.columns[i].name, err.Error())
				} else if s, ok := v.(string); ok && s != row[i] {
					c.serious(where, t.columns[i].name, "not in the form the book writes it")
				} else if err := t.columns[i].gate(v); err != nil {
					c.look(where, t.columns[i].name, err.Error())
				}
			}
			if t.name == "photo" {
				if err := checkPhoto(t, row, where); err != nil {
					c.serious(where, "data", strings.TrimPrefix(err.Error(), where+": "))
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// agreement compares what is written twice: totals with what they are totals of, what
// a weight says of its lot with the lot; and it looks for weighings that no stock can
// account for. A query gives the record and what is said of it.
func (c *checker) agreement() error {
	type query struct{ query, field, says string }
	queries := []query{
		{`SELECT 'batch ' || b.id, planned_g, round((SELECT sum(planned_g) FROM batch_weight WHERE batch_id = b.id), 6) AS s
			FROM batch b WHERE abs(s - planned_g) > ?1`, "planned_g", "the batch is %s g, but its weights add up to %s g"},
		{`SELECT 'batch ' || b.id, made_g, round((SELECT sum(weighed_g) FROM batch_weight WHERE batch_id = b.id), 6) AS s
			FROM batch b WHERE made_g > s + ?1 AND NOT EXISTS (SELECT 1 FROM batch_weight WHERE batch_id = b.id AND weighed_g IS NULL)`,
			"made_g", "the finished batch weighs %s g, more than the %s g weighed into it"},
		{`SELECT 'blend ' || b.id, load_percent, round((SELECT sum(percent) FROM blend_powder WHERE blend_id = b.id), 9) AS s
			FROM blend b WHERE abs(s - load_percent) > ?2`, "load_percent", "the load is %s %%, but its powders add up to %s %%"},
		{`SELECT 'correction ' || k.id, after_g, round(before_g + (SELECT sum(weighed_g) FROM correction_weight WHERE correction_id = k.id), 6) AS s
			FROM correction k WHERE after_g > s + ?1`, "after_g", "the batch weighs %s g after it, more than the %s g it was with what was added"},
	}
	for _, t := range []string{"batch", "correction"} {
		for _, q := range []query{
			{`SELECT '{of} ' || w.{of}_id || ', weight ' || w.position FROM {of}_weight w JOIN lot l ON l.id = w.lot_id
				WHERE w.powder_id IS NOT l.powder_id`, "lot_id", anothersLot},
			{`SELECT '{of} ' || w.{of}_id || ', weight ' || w.position, w.lot, l.lot FROM {of}_weight w JOIN lot l ON l.id = w.lot_id
				WHERE w.lot <> l.lot COLLATE NOCASE AND w.powder_id IS l.powder_id`, "lot", "says %q, but the lot is now %q"},
			{`SELECT '{of} ' || {of}_id || ', weight ' || position, name FROM {of}_weight
				WHERE role = 'powder' AND lot_id IS NULL AND weighed_g > 0 AND powder_id IS NOT NULL`,
				"lot", "%s was weighed from a lot the book does not have, so no stock went down; add the lot"},
			{`SELECT DISTINCT '{of} ' || h.id FROM {of} h JOIN {of}_weight w ON w.{of}_id = h.id
				WHERE h.made_on IS NULL AND w.weighed_g IS NOT NULL`, "made_on", "weighed, but on no day"},
		} {
			q.query = strings.ReplaceAll(q.query, "{of}", t)
			queries = append(queries, q)
		}
	}
	queries = append(queries, query{"SELECT 'lot ' || lot_id, left_g, powder_name, lot FROM stock WHERE left_g < 0", "left_g",
		"%s g left of %s, lot %s: more was used than bought; a purchase was not written, or count the lot"})
	for _, q := range queries {
		err := c.each(strings.NewReplacer("?1", gramsTolerance, "?2", percentTolerance).Replace(q.query), func(cells []string) {
			said := make([]any, len(cells)-1)
			for i := range said {
				said[i] = cells[i+1]
			}
			c.found = append(c.found, Finding{q.says == anothersLot, cells[0], q.field, fmt.Sprintf(q.says, said...)})
		})
		if err != nil {
			return err
		}
	}
	return nil
}

const anothersLot = "the lot is another powder's"

// movements looks for stock that went the wrong way.
func (c *checker) movements() error {
	all, err := find[Movement](c.ctx, c.tx, "ORDER BY id")
	for _, m := range all {
		if problem := m.wrongWay(); problem != "" {
			c.look(fmt.Sprintf("movement %d", m.ID), "grams", problem)
		}
	}
	return err
}
