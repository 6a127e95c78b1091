-- Colours read, the corrections made from them, and powders fitted to them.

CREATE TABLE reading (
  id                  INTEGER PRIMARY KEY AUTOINCREMENT,
  client_id           INTEGER REFERENCES client (id),
  skin_id             INTEGER REFERENCES skin (id),
  lot_id              INTEGER REFERENCES lot (id),
  batch_id            INTEGER REFERENCES batch (id),
  taken_on            TEXT NOT NULL,  -- date
  place               TEXT NOT NULL DEFAULT '',  -- on the body
  how                 TEXT NOT NULL CHECK (how IN ('instrument', 'photo', 'by eye', 'typed')),
  seen                TEXT NOT NULL CHECK (seen IN ('skin', 'jar', 'drawdown', 'powder', 'card')),
  instrument          TEXT NOT NULL DEFAULT '',
  geometry            TEXT NOT NULL DEFAULT '',
  lab_l               REAL NOT NULL,
  lab_a               REAL NOT NULL,
  lab_b               REAL NOT NULL,
  reflectance         TEXT,           -- JSON: 36 factors, 380 to 730 nm by 10
  repeatability_de00  REAL,
  ground              TEXT NOT NULL DEFAULT '' CHECK (ground IN ('', 'black', 'white')),
  load_percent        REAL,
  areal_mg_cm2        REAL,
  areal_error_mg_cm2  REAL,
  document            TEXT,           -- JSON: the reading as the instrument gave it
  note                TEXT NOT NULL DEFAULT '',
  recorded_at         TEXT NOT NULL
) STRICT;
CREATE INDEX reading_client ON reading (client_id);
CREATE INDEX reading_skin ON reading (skin_id);
CREATE INDEX reading_lot ON reading (lot_id);
CREATE INDEX reading_batch ON reading (batch_id);

CREATE TABLE correction (
  id             INTEGER PRIMARY KEY AUTOINCREMENT,
  batch_id       INTEGER NOT NULL REFERENCES batch (id),
  reading_id     INTEGER REFERENCES reading (id),
  made_on        TEXT,               -- date; none while it is only planned
  how            TEXT NOT NULL CHECK (how IN ('instrument', 'photo', 'by eye', 'typed')),
  seen           TEXT NOT NULL CHECK (seen IN ('skin', 'jar', 'drawdown', 'powder', 'card')),
  measured_l     REAL,
  measured_a     REAL,
  measured_b     REAL,
  de00_before    REAL,
  de00_predicted REAL,
  before_g       REAL NOT NULL,      -- the batch as it stood
  after_g        REAL,               -- the batch once added to, weighed
  request        TEXT,               -- JSON
  document       TEXT,               -- JSON
  note           TEXT NOT NULL DEFAULT '',
  recorded_at    TEXT NOT NULL
) STRICT;
CREATE INDEX correction_batch ON correction (batch_id);
CREATE INDEX correction_reading ON correction (reading_id);

CREATE TABLE correction_weight (
  correction_id INTEGER NOT NULL REFERENCES correction (id) ON DELETE CASCADE,
  position      INTEGER NOT NULL,
  role          TEXT NOT NULL CHECK (role IN ('powder', 'base')),
  name          TEXT NOT NULL CHECK (name <> ''),
  powder_id     INTEGER REFERENCES powder (id),
  lot_id        INTEGER REFERENCES lot (id),
  lot           TEXT NOT NULL DEFAULT '',
  planned_g     REAL NOT NULL,
  weighed_g     REAL,
  PRIMARY KEY (correction_id, position)
) STRICT, WITHOUT ROWID;
CREATE INDEX correction_weight_lot ON correction_weight (lot_id);
CREATE INDEX correction_weight_powder ON correction_weight (powder_id);

CREATE TABLE fit (
  id          INTEGER PRIMARY KEY AUTOINCREMENT,
  powder_id   INTEGER NOT NULL REFERENCES powder (id),
  lot_id      INTEGER REFERENCES lot (id),
  fitted_on   TEXT NOT NULL,          -- date
  verdict     TEXT NOT NULL CHECK (verdict IN ('holds', 'use with care', 'does not hold')),
  why         TEXT NOT NULL DEFAULT '',
  mean_de00   REAL NOT NULL,          -- residuals of its readings
  worst_de00  REAL NOT NULL,
  strength    REAL,                   -- against the lot before; 1 is the same
  geometry    TEXT NOT NULL DEFAULT '',
  document    TEXT,                   -- JSON: the fitted palette row and spectra
  note        TEXT NOT NULL DEFAULT '',
  recorded_at TEXT NOT NULL
) STRICT;
CREATE INDEX fit_powder ON fit (powder_id);
CREATE INDEX fit_lot ON fit (lot_id);

CREATE TABLE fit_reading (
  fit_id        INTEGER NOT NULL REFERENCES fit (id) ON DELETE CASCADE,
  reading_id    INTEGER NOT NULL REFERENCES reading (id),
  residual_de00 REAL NOT NULL,
  PRIMARY KEY (fit_id, reading_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX fit_reading_reading ON fit_reading (reading_id);
