-- What became of the parts that stood in a device's place before the one that is
-- in now: which died, when and of what, and when another was put in. utc is the
-- moment of at in one zone, by which two rows are told apart; deaths of no known
-- time are told apart by their notes.
CREATE TABLE history (
    id     INTEGER PRIMARY KEY,
    device INTEGER NOT NULL REFERENCES devices (id) DEFERRABLE INITIALLY DEFERRED,
    event  TEXT NOT NULL CHECK (event = 'failed' OR event = 'replaced'),
    at     TEXT NOT NULL CHECK (at = '' OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*'),
    utc    TEXT NOT NULL CHECK ((utc = '') = (at = '')),
    note   TEXT NOT NULL CHECK (note = '' OR (length(note) <= 2500 OR length(CAST(note AS BLOB)) <= 10000) AND instr(note, char(0)) = 0),
    CHECK (event <> 'replaced' OR at <> '')
) STRICT;
CREATE UNIQUE INDEX history_once ON history (device, event, utc, iif(utc = '', note, ''));
