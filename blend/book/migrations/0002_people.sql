-- Clients, and skins kept by name. Colours are L*a*b* under D65, 2° observer.

CREATE TABLE client (
  id          INTEGER PRIMARY KEY AUTOINCREMENT,
  name        TEXT NOT NULL CHECK (name <> ''),
  note        TEXT NOT NULL DEFAULT '',
  recorded_at TEXT NOT NULL
) STRICT;
CREATE UNIQUE INDEX client_name ON client (name COLLATE NOCASE);

CREATE TABLE skin (
  id          INTEGER PRIMARY KEY AUTOINCREMENT,
  client_id   INTEGER REFERENCES client (id),
  name        TEXT NOT NULL DEFAULT '',
  how         TEXT NOT NULL CHECK (how IN ('reading', 'average', 'photo', 'sliders', 'hex', 'preset')),
  lab_l       REAL NOT NULL,
  lab_a       REAL NOT NULL,
  lab_b       REAL NOT NULL,
  spread_de00 REAL,
  reflectance TEXT,           -- JSON: 36 factors, 380 to 730 nm by 10
  document    TEXT,           -- JSON
  note        TEXT NOT NULL DEFAULT '',
  recorded_at TEXT NOT NULL
) STRICT;
CREATE INDEX skin_client ON skin (client_id);

-- Work begun and not yet finished, so that a stop half-way is made good the
-- next time the book is opened. No part of the record; not exported.
CREATE TABLE chore (
  name TEXT PRIMARY KEY
) STRICT, WITHOUT ROWID;
