package book

import (
	"strings"
	"testing"
)

// Each kind of trouble is found, where it is and as grave as it is; a sound
// book gives nothing.
func TestCheckFindsTrouble(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	for _, c := range []struct {
		sql, where, field string
		serious           bool
	}{
		{"SELECT 1", "", "", false},
		{"UPDATE batch SET planned_g = 101 WHERE id = 1", "batch 1", "planned_g", false},
		{"UPDATE batch SET made_g = 100.5 WHERE id = 1", "batch 1", "made_g", false},
		{"UPDATE blend SET load_percent = 4.1 WHERE id = 1", "blend 1", "load_percent", false},
		{"UPDATE correction SET after_g = 99.2", "correction 1", "after_g", false},
		{"UPDATE batch SET made_on = NULL WHERE id = 1", "batch 1", "made_on", false},
		{"UPDATE batch_weight SET lot_id = NULL WHERE batch_id = 1 AND position = 1", "batch 1, weight 1", "lot", false},
		{"UPDATE batch_weight SET lot_id = 3 WHERE batch_id = 1 AND position = 1", "batch 1, weight 1", "lot_id", true},
		{"UPDATE lot SET lot = 'G-0118' WHERE id = 1", "batch 1, weight 1", "lot", false},
		{"UPDATE movement SET grams = 1 WHERE id = 1", "lot 1", "left_g", false},
		{"UPDATE movement SET grams = 0.3 WHERE kind = 'spilt'", "movement 4", "grams", false},
		{"UPDATE reading SET taken_on = 'last week' WHERE id = 1", "reading 1", "taken_on", true},
		{"UPDATE reading SET lab_l = 9e99 WHERE id = 2", "reading 2", "lab_l", true},
		{"UPDATE batch SET document = '{\"a\": ' WHERE id = 1", "batch 1", "document", true},
		{"UPDATE batch SET document = '{ }' WHERE id = 1", "batch 1", "document", true},
		{"UPDATE photo SET sha256 = 'beef' WHERE id = 2", "photo 2", "data", true},
		{"UPDATE photo SET data = x'00' WHERE id = 2", "photo 2", "data", true},
		{"PRAGMA defer_foreign_keys = 1; DELETE FROM reading WHERE id = 6", "fit_reading", "", true},
		{"PRAGMA defer_foreign_keys = 1; UPDATE blend SET client_id = 99 WHERE id = 1", "blend", "", true},
		{"DROP VIEW stock; CREATE VIEW stock AS SELECT l.id AS lot_id, 1 AS left_g, '' AS lot, '' AS powder_name FROM lot l", "", "stock", true},
		{"DROP INDEX reading_client", "", "reading_client", true},
		{"CREATE TABLE mine (x)", "", "mine", false},
	} {
		// Each trouble is made, found and undone.
		tx, err := b.db.BeginTx(t.Context(), nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := tx.Exec(c.sql); err != nil {
			t.Fatalf("%s: %v", c.sql, err)
		}
		found, err := check(t.Context(), tx, b.path)
		if err != nil {
			t.Errorf("%s: %v", c.sql, err)
		}
		tx.Rollback()
		hit := c.field == "" && c.where == "" && len(found) == 0
		for _, f := range found {
			where := c.where
			if where == "" {
				where = b.path
			}
			hit = hit || f.Where == where && f.Field == c.field && f.Serious == c.serious && f.Says != ""
			if strings.Contains(f.Says, "%!") {
				t.Errorf("badly put: %s", f.Says)
			}
		}
		if !hit {
			t.Errorf("%s: found %+v, want %s %s, serious %v", c.sql, found, c.where, c.field, c.serious)
		}
	}
	if found, err := b.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("at the end: %v %v", found, err)
	}
}
