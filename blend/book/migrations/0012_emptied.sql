-- Of a blend whose client was forgotten neither the target nor the prediction is
-- known: both tell of the skin. Blends emptied before are emptied of them in Go
-- (names.go), where a label pasted as a base is also said to be one.

ALTER TABLE blend RENAME COLUMN target_l TO was_target_l;
ALTER TABLE blend RENAME COLUMN target_a TO was_target_a;
ALTER TABLE blend RENAME COLUMN target_b TO was_target_b;
ALTER TABLE blend RENAME COLUMN predicted_l TO was_predicted_l;
ALTER TABLE blend RENAME COLUMN predicted_a TO was_predicted_a;
ALTER TABLE blend RENAME COLUMN predicted_b TO was_predicted_b;
ALTER TABLE blend ADD COLUMN target_l REAL;
ALTER TABLE blend ADD COLUMN target_a REAL;
ALTER TABLE blend ADD COLUMN target_b REAL;
ALTER TABLE blend ADD COLUMN predicted_l REAL;
ALTER TABLE blend ADD COLUMN predicted_a REAL;
ALTER TABLE blend ADD COLUMN predicted_b REAL;
UPDATE blend SET target_l = was_target_l, target_a = was_target_a, target_b = was_target_b,
  predicted_l = was_predicted_l, predicted_a = was_predicted_a, predicted_b = was_predicted_b;
ALTER TABLE blend DROP COLUMN was_target_l;
ALTER TABLE blend DROP COLUMN was_target_a;
ALTER TABLE blend DROP COLUMN was_target_b;
ALTER TABLE blend DROP COLUMN was_predicted_l;
ALTER TABLE blend DROP COLUMN was_predicted_a;
ALTER TABLE blend DROP COLUMN was_predicted_b;
