-- How colours were read: di, de, 45 or photo, empty where nobody said.

ALTER TABLE skin ADD COLUMN geometry TEXT NOT NULL DEFAULT '';
ALTER TABLE blend ADD COLUMN skin_geometry TEXT NOT NULL DEFAULT '';
ALTER TABLE blend ADD COLUMN geometry TEXT NOT NULL DEFAULT '';  -- of target and prediction
ALTER TABLE correction ADD COLUMN geometry TEXT NOT NULL DEFAULT '';
