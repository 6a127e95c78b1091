-- How colours were read: di, de, 45 or photo, empty where nobody said.

ALTER TABLE skin ADD COLUMN geometry TEXT NOT NULL DEFAULT '';
ALTER TABLE blend ADD COLUMN skin_geometry TEXT NOT NULL DEFAULT '';
ALTER TABLE blend ADD COLUMN geometry TEXT NOT NULL DEFAULT '';  -- of target and prediction
ALTER TABLE correction ADD COLUMN geometry TEXT NOT NULL DEFAULT '';
UPDATE fit SET geometry = CASE geometry
  WHEN 'd:8, gloss included' THEN 'di' WHEN 'd:8, gloss excluded' THEN 'de' WHEN '45:0' THEN '45' ELSE geometry END;
