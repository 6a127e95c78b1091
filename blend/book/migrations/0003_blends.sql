-- Blends: the queryable part here, the whole result in document.

CREATE TABLE blend (
  id             INTEGER PRIMARY KEY AUTOINCREMENT,
  name           TEXT NOT NULL DEFAULT '',
  client_id      INTEGER REFERENCES client (id),
  skin_id        INTEGER REFERENCES skin (id),
  base           TEXT NOT NULL DEFAULT '',
  skin_l         REAL,
  skin_a         REAL,
  skin_b         REAL,
  target_l       REAL NOT NULL,
  target_a       REAL NOT NULL,
  target_b       REAL NOT NULL,
  predicted_l    REAL NOT NULL,
  predicted_a    REAL NOT NULL,
  predicted_b    REAL NOT NULL,
  de00           REAL NOT NULL,
  de00_95        REAL,           -- 95 % of makings stay within this of the prediction
  load_percent   REAL NOT NULL,  -- % w/w of colourants in the finished product
  applied_mg_cm2 REAL,           -- finished product on the skin
  request        TEXT,           -- JSON: what was asked
  document       TEXT,           -- JSON: the whole result
  note           TEXT NOT NULL DEFAULT '',
  recorded_at    TEXT NOT NULL
) STRICT;
CREATE INDEX blend_client ON blend (client_id);
CREATE INDEX blend_skin ON blend (skin_id);

CREATE TABLE blend_powder (
  blend_id    INTEGER NOT NULL REFERENCES blend (id) ON DELETE CASCADE,
  position    INTEGER NOT NULL,
  powder_name TEXT NOT NULL CHECK (powder_name <> ''),
  powder_id   INTEGER REFERENCES powder (id),
  lot_id      INTEGER REFERENCES lot (id),
  lot         TEXT NOT NULL DEFAULT '',
  percent     REAL NOT NULL,     -- % w/w of the finished product
  PRIMARY KEY (blend_id, position)
) STRICT, WITHOUT ROWID;
CREATE INDEX blend_powder_lot ON blend_powder (lot_id);
CREATE INDEX blend_powder_powder ON blend_powder (powder_id);
