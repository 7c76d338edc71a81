-- What devices do: one word of somebody who looked, in a condition, at a time. utc
-- is the moment of at in one zone, by which two rows are told apart.
CREATE TABLE symptoms (
    id         INTEGER PRIMARY KEY,
    device     INTEGER NOT NULL REFERENCES devices (id) DEFERRABLE INITIALLY DEFERRED,
    symptom    TEXT NOT NULL CHECK (symptom IN ('works', 'dead', 'weak', 'stuck-on', 'intermittent', 'hot', 'noisy', 'blows', 'trips')),
    at         TEXT NOT NULL CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*'),
    utc        TEXT NOT NULL CHECK (utc <> ''),
    conditions TEXT NOT NULL CHECK (length(CAST(conditions AS BLOB)) <= 10000 AND instr(conditions, char(0)) = 0),
    note       TEXT NOT NULL CHECK (length(CAST(note AS BLOB)) <= 10000 AND instr(note, char(0)) = 0),
    struck     TEXT NOT NULL CHECK (length(CAST(struck AS BLOB)) <= 10000 AND instr(struck, char(0)) = 0)
) STRICT;
CREATE UNIQUE INDEX symptom_once ON symptoms (device, symptom, utc, conditions);
