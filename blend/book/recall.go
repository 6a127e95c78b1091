package book

import (
	"context"
	"database/sql"
)

// Use is one place a lot went: what to find again when it is recalled.
type Use struct {
	Kind         string  `json:"kind"` // batch, correction or blend (not yet made)
	Role         string  `json:"role"` // powder or base
	Name         string  `json:"name"` // of the powder or the ingredient
	Lot          string  `json:"lot"`
	BatchID      int64   `json:"batch_id,omitempty"`
	CorrectionID int64   `json:"correction_id,omitempty"`
	BlendID      int64   `json:"blend_id,omitempty"`
	Title        string  `json:"title,omitempty"`   // what the batch or blend is called
	MadeOn       string  `json:"made_on,omitempty"` // day; empty where only planned
	ClientID     int64   `json:"client_id,omitempty"`
	Client       string  `json:"client,omitempty"`
	PlannedG     float64 `json:"planned_g,omitempty"`
	WeighedG     float64 `json:"weighed_g,omitempty"`
	Percent      float64 `json:"percent,omitempty"` // of a blend, % w/w of the finished product
}

// UsesOfLot returns everything the lot with this number on the bag went into,
// or was planned to: powders and ingredients of the base alike, capitals
// aside. A number that two suppliers both use gives the uses of both; Name
// tells them apart.
func (b *Book) UsesOfLot(ctx context.Context, lot string) ([]Use, error) {
	const query = `
SELECT 'batch', w.role, w.name, w.lot, b.id, 0, 0, b.name, coalesce(b.made_on, ''),
       coalesce(c.id, 0), coalesce(c.name, ''), w.planned_g, coalesce(w.weighed_g, 0), 0
  FROM batch_weight w JOIN batch b ON b.id = w.batch_id LEFT JOIN client c ON c.id = b.client_id
 WHERE w.lot = ?1 COLLATE NOCASE
UNION ALL
SELECT 'correction', w.role, w.name, w.lot, b.id, k.id, 0, b.name, coalesce(k.made_on, ''),
       coalesce(c.id, 0), coalesce(c.name, ''), w.planned_g, coalesce(w.weighed_g, 0), 0
  FROM correction_weight w JOIN correction k ON k.id = w.correction_id
  JOIN batch b ON b.id = k.batch_id LEFT JOIN client c ON c.id = b.client_id
 WHERE w.lot = ?1 COLLATE NOCASE
UNION ALL
SELECT 'blend', 'powder', w.powder_name, w.lot, 0, 0, b.id, b.name, '',
       coalesce(c.id, 0), coalesce(c.name, ''), 0, 0, w.percent
  FROM blend_powder w JOIN blend b ON b.id = w.blend_id LEFT JOIN client c ON c.id = b.client_id
 WHERE w.lot = ?1 COLLATE NOCASE
 ORDER BY 3, 1, 9, 5, 6, 7`
	return gathered(ctx, b, func(rows *sql.Rows, u *Use) error {
		return rows.Scan(&u.Kind, &u.Role, &u.Name, &u.Lot, &u.BatchID, &u.CorrectionID, &u.BlendID,
			&u.Title, &u.MadeOn, &u.ClientID, &u.Client, &u.PlannedG, &u.WeighedG, &u.Percent)
	}, query, lot)
}
