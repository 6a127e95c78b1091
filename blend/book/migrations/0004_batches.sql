-- Batches, with each weight as planned and as actually weighed.

CREATE TABLE batch (
  id           INTEGER PRIMARY KEY AUTOINCREMENT,
  name         TEXT NOT NULL DEFAULT '',
  blend_id     INTEGER REFERENCES blend (id),
  client_id    INTEGER REFERENCES client (id),
  base         TEXT NOT NULL DEFAULT '',
  made_on      TEXT,              -- date; none while it is only planned
  planned_g    REAL NOT NULL,
  made_g       REAL,              -- what the finished batch weighed
  load_percent REAL NOT NULL,
  containers   INTEGER,
  container_ml REAL,
  cost         REAL,              -- in the maker's own currency
  request      TEXT,              -- JSON: what was asked
  document     TEXT,              -- JSON: the whole result
  note         TEXT NOT NULL DEFAULT '',
  recorded_at  TEXT NOT NULL
) STRICT;
CREATE INDEX batch_client ON batch (client_id);
CREATE INDEX batch_blend ON batch (blend_id);

CREATE TABLE batch_weight (
  batch_id  INTEGER NOT NULL REFERENCES batch (id) ON DELETE CASCADE,
  position  INTEGER NOT NULL,
  role      TEXT NOT NULL CHECK (role IN ('powder', 'base')),
  name      TEXT NOT NULL CHECK (name <> ''),
  powder_id INTEGER REFERENCES powder (id),
  lot_id    INTEGER REFERENCES lot (id),
  lot       TEXT NOT NULL DEFAULT '',
  planned_g REAL NOT NULL,
  weighed_g REAL,
  PRIMARY KEY (batch_id, position)
) STRICT, WITHOUT ROWID;
CREATE INDEX batch_weight_lot ON batch_weight (lot_id);
CREATE INDEX batch_weight_powder ON batch_weight (powder_id);
