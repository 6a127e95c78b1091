-- Powders in the drawer, the lots they were bought in, and what came and went
-- other than by being weighed into a batch.

CREATE TABLE powder (
  id          INTEGER PRIMARY KEY AUTOINCREMENT,
  name        TEXT NOT NULL CHECK (name <> ''),
  family      TEXT NOT NULL DEFAULT '',
  source      TEXT NOT NULL CHECK (source IN ('modelled', 'guessed', 'measured', 'demo')),
  note        TEXT NOT NULL DEFAULT '',
  document    TEXT,           -- JSON: the palette row and its optics, as given
  retired_on  TEXT,           -- date; the powder is kept for the record only
  recorded_at TEXT NOT NULL
) STRICT;
CREATE UNIQUE INDEX powder_name ON powder (name COLLATE NOCASE);

CREATE TABLE lot (
  id               INTEGER PRIMARY KEY AUTOINCREMENT,
  powder_id        INTEGER NOT NULL REFERENCES powder (id),
  lot              TEXT NOT NULL CHECK (lot <> ''),
  supplier         TEXT NOT NULL DEFAULT '',
  received_on      TEXT,      -- date
  expires_on       TEXT,      -- date
  price_per_g      REAL,      -- in the maker's own currency
  strength         REAL,      -- of the powder's own data; 1 is the same
  shade_shift_de00 REAL,      -- against the lot before
  note             TEXT NOT NULL DEFAULT '',
  recorded_at      TEXT NOT NULL,
  UNIQUE (powder_id, lot COLLATE NOCASE)
) STRICT;

CREATE TABLE movement (
  id          INTEGER PRIMARY KEY AUTOINCREMENT,
  lot_id      INTEGER NOT NULL REFERENCES lot (id),
  kind        TEXT NOT NULL CHECK (kind IN ('bought', 'counted', 'spilt', 'given', 'returned', 'adjusted')),
  grams       REAL NOT NULL,  -- in is positive, out negative
  moved_on    TEXT NOT NULL,  -- date
  note        TEXT NOT NULL DEFAULT '',
  recorded_at TEXT NOT NULL
) STRICT;
CREATE INDEX movement_lot ON movement (lot_id);
