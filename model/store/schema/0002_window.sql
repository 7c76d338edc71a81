-- What the window keeps: places on the chart, photos, templates of one's own,
-- and that the caution card was shown.

CREATE TABLE places (
    device INTEGER PRIMARY KEY REFERENCES devices (id) DEFERRABLE INITIALLY DEFERRED,
    x      REAL NOT NULL CHECK (x BETWEEN -1e6 AND 1e6),
    y      REAL NOT NULL CHECK (y BETWEEN -1e6 AND 1e6),
    pinned INTEGER NOT NULL CHECK (pinned IN (0, 1))
) STRICT;

-- Apart from photos, so that a change of a caption does not move megabytes, and
-- a picture that is pinned twice lies here once. Undo may bring any back.
CREATE TABLE pictures (
    id   INTEGER PRIMARY KEY,
    hash TEXT NOT NULL UNIQUE CHECK (length(hash) = 64 AND hash NOT GLOB '*[^0-9a-f]*'),
    body BLOB NOT NULL CHECK (length(body) BETWEEN 1 AND 16777216)
) STRICT;
CREATE TRIGGER pictures_stay BEFORE DELETE ON pictures
BEGIN SELECT RAISE(ABORT, 'a picture is never deleted'); END;
CREATE TRIGGER pictures_fixed BEFORE UPDATE ON pictures
BEGIN SELECT RAISE(ABORT, 'a picture is never changed'); END;

CREATE TABLE photos (
    id         INTEGER PRIMARY KEY,
    device     INTEGER NOT NULL REFERENCES devices (id) DEFERRABLE INITIALLY DEFERRED,
    hash       TEXT NOT NULL REFERENCES pictures (hash) DEFERRABLE INITIALLY DEFERRED,
    face       TEXT NOT NULL CHECK (face = '' OR (length(face) <= 2500 OR length(CAST(face AS BLOB)) <= 10000) AND instr(face, char(0)) = 0),
    caption    TEXT NOT NULL CHECK (caption = '' OR (length(caption) <= 2500 OR length(CAST(caption AS BLOB)) <= 10000) AND instr(caption, char(0)) = 0),
    at         TEXT NOT NULL CHECK (at = '' OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*'),
    format     TEXT NOT NULL CHECK (format = 'jpeg' OR format = 'png'),
    size_bytes INTEGER NOT NULL CHECK (size_bytes BETWEEN 1 AND 16777216),
    width      INTEGER NOT NULL CHECK (width BETWEEN 1 AND 20000),
    height     INTEGER NOT NULL CHECK (height BETWEEN 1 AND 20000),
    turn       INTEGER NOT NULL CHECK (turn IN (0, 90, 180, 270)),
    CHECK (width * height <= 100000000),
    UNIQUE (device, hash)
) STRICT;
CREATE INDEX photos_hash ON photos (hash);

CREATE TABLE templates (
    id         INTEGER PRIMARY KEY,
    template   TEXT NOT NULL UNIQUE CHECK (length(CAST(template AS BLOB)) BETWEEN 1 AND 500 AND template = trim(template)
        AND instr(template, char(0)) = 0 AND template NOT GLOB '*[' || char(1,45,31,127,45,159) || ']*'),
    definition TEXT NOT NULL CHECK (length(CAST(definition AS BLOB)) <= 10000 AND instr(definition, char(0)) = 0
        AND trim(definition, char(9,10,13,32)) <> '')
) STRICT;

-- Each time a person was shown what to mind before the first probe. No undo.
CREATE TABLE cautions (
    id      INTEGER PRIMARY KEY,
    at      TEXT NOT NULL CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*'),
    session TEXT NOT NULL CHECK (length(CAST(session AS BLOB)) <= 10000 AND instr(session, char(0)) = 0)
) STRICT;
CREATE TRIGGER cautions_stay BEFORE DELETE ON cautions
BEGIN SELECT RAISE(ABORT, 'that a caution was shown is never deleted'); END;
CREATE TRIGGER cautions_fixed BEFORE UPDATE ON cautions
BEGIN SELECT RAISE(ABORT, 'that a caution was shown is never changed'); END;
