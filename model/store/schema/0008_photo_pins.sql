-- Where terminals are seen on a photo: A1 312 420; A2 340 421, in thousandths of the
-- upright picture.
ALTER TABLE photos ADD COLUMN pins TEXT NOT NULL DEFAULT ''
    CHECK (pins = '' OR length(CAST(pins AS BLOB)) <= 10000 AND instr(pins, char(0)) = 0);
