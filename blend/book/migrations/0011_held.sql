-- Why a lot is not to be used, such as one that is being recalled; empty where it
-- may be.
ALTER TABLE lot ADD COLUMN held TEXT NOT NULL DEFAULT '';
