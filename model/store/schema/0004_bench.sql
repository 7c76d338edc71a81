-- What holds at the bench from one sitting to the next, and is no part of the
-- map: what was done to the machine (held), which pairs read volts and were not
-- proven dead since (live), which findings were set aside (aside). No undo.
CREATE TABLE bench (
    kind  TEXT NOT NULL CHECK (kind = 'held' OR kind = 'live' OR kind = 'aside'),
    place INTEGER NOT NULL CHECK (place >= 0),
    what  TEXT NOT NULL CHECK (length(CAST(what AS BLOB)) BETWEEN 1 AND 10000 AND instr(what, char(0)) = 0),
    PRIMARY KEY (kind, place)
) STRICT;
