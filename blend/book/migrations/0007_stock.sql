-- What came into each lot and what went out of it. Weighings are counted where
-- they were written, once, so stock cannot disagree with the batches.

CREATE VIEW ledger AS
  SELECT lot_id, moved_on, kind, grams, id AS movement_id,
         0 AS batch_id, 0 AS correction_id, note
    FROM movement
  UNION ALL
  SELECT w.lot_id, b.made_on, 'batch', -w.weighed_g, 0, b.id, 0, b.name
    FROM batch_weight w JOIN batch b ON b.id = w.batch_id
   WHERE w.lot_id IS NOT NULL AND w.weighed_g IS NOT NULL
  UNION ALL
  SELECT w.lot_id, c.made_on, 'correction', -w.weighed_g, 0, c.batch_id, c.id, ''
    FROM correction_weight w JOIN correction c ON c.id = w.correction_id
   WHERE w.lot_id IS NOT NULL AND w.weighed_g IS NOT NULL;

-- Grams are rounded to the microgram, far below any maker's balance, so that
-- adding binary fractions never shows 0.30000000000000004.
CREATE VIEW stock AS
  SELECT l.id AS lot_id, l.powder_id, p.name AS powder_name, l.lot,
         round(coalesce(sum(CASE WHEN g.kind = 'bought' THEN g.grams END), 0), 6) AS bought_g,
         round(-coalesce(sum(CASE WHEN g.kind IN ('batch', 'correction') THEN g.grams END), 0), 6) + 0.0 AS used_g,
         round(coalesce(sum(CASE WHEN g.kind NOT IN ('bought', 'batch', 'correction') THEN g.grams END), 0), 6) AS other_g,
         round(coalesce(sum(g.grams), 0), 6) AS left_g
    FROM lot l
    JOIN powder p ON p.id = l.powder_id
    LEFT JOIN ledger g ON g.lot_id = l.id
   GROUP BY l.id;
