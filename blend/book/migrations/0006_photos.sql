-- Photos, whole, beside what they show. The picture is the last column so that
-- reading the others does not walk through it.

CREATE TABLE photo (
  id          INTEGER PRIMARY KEY AUTOINCREMENT,
  client_id   INTEGER REFERENCES client (id),
  skin_id     INTEGER REFERENCES skin (id),
  reading_id  INTEGER REFERENCES reading (id),
  blend_id    INTEGER REFERENCES blend (id),
  batch_id    INTEGER REFERENCES batch (id),
  lot_id      INTEGER REFERENCES lot (id),
  taken_on    TEXT NOT NULL,          -- date
  place       TEXT NOT NULL DEFAULT '',
  media_type  TEXT NOT NULL CHECK (media_type IN ('image/jpeg', 'image/png')),
  width_px    INTEGER NOT NULL,
  height_px   INTEGER NOT NULL,
  sha256      TEXT NOT NULL,          -- of data, in hex
  note        TEXT NOT NULL DEFAULT '',
  recorded_at TEXT NOT NULL,
  data        BLOB NOT NULL
) STRICT;
CREATE INDEX photo_client ON photo (client_id);
CREATE INDEX photo_skin ON photo (skin_id);
CREATE INDEX photo_reading ON photo (reading_id);
CREATE INDEX photo_blend ON photo (blend_id);
CREATE INDEX photo_batch ON photo (batch_id);
CREATE INDEX photo_lot ON photo (lot_id);
