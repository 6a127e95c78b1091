-- Cards and sheets that tawny wrote, by whom and what they tell of, to be named
-- when a client is forgotten.

CREATE TABLE file (
  id          INTEGER PRIMARY KEY AUTOINCREMENT,
  client_id   INTEGER REFERENCES client (id),
  blend_id    INTEGER REFERENCES blend (id) ON DELETE SET NULL,
  batch_id    INTEGER REFERENCES batch (id) ON DELETE SET NULL,
  path        TEXT NOT NULL,
  recorded_at TEXT NOT NULL
) STRICT;
CREATE INDEX file_client ON file (client_id);
CREATE INDEX file_blend ON file (blend_id);
CREATE INDEX file_batch ON file (batch_id);

-- Whole copies of the book, on this machine.
CREATE TABLE copy (path TEXT PRIMARY KEY) STRICT;
