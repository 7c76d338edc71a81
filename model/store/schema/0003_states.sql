-- How the machine came to be what it is, move by move, so that it can be shown
-- as it was at a named state, and so that two files that began as one find
-- where they parted.

-- lineage is the same in every copy of one project.
CREATE TABLE project (
    id      INTEGER PRIMARY KEY CHECK (id = 1),
    lineage TEXT NOT NULL CHECK (lineage <> '')
) STRICT;

-- Every time the machine changed: an edit was done, undone or done again. uid
-- is the move's own over all files. What undo and redo did to readings is not
-- in the edit, but here: readings hold changes as edits.body does.
CREATE TABLE moves (
    id       INTEGER PRIMARY KEY CHECK (id > 0),
    journal  INTEGER NOT NULL REFERENCES journal (id) DEFERRABLE INITIALLY DEFERRED,
    way      TEXT NOT NULL CHECK (way = 'do' OR way = 'undo' OR way = 'redo'),
    at       TEXT NOT NULL CHECK (at = '' OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*'),
    uid      TEXT NOT NULL UNIQUE CHECK (length(uid) = 32),
    form     TEXT CHECK (form = 'json' OR form = 'gzip'),
    readings BLOB,
    CHECK ((form IS NULL) = (readings IS NULL))
) STRICT;
CREATE TRIGGER moves_stay BEFORE DELETE ON moves
BEGIN SELECT RAISE(ABORT, 'a move is never deleted'); END;
CREATE TRIGGER moves_fixed BEFORE UPDATE ON moves
BEGIN SELECT RAISE(ABORT, 'a move is never changed'); END;

-- Of an older file only what is done is known. Its moves get uids that follow
-- from the rows, the same in every copy of the file.
INSERT INTO moves (id, journal, way, at, uid)
    SELECT j.id, j.id, 'do', j.at, row_digest(j.id, j.at, j.what, j.kind, j.changes, e.body)
    FROM journal j JOIN edits e ON e.id = j.id WHERE j.state = 'done' ORDER BY j.id;
INSERT INTO project (id, lineage)
    VALUES (1, ifnull((SELECT uid FROM moves ORDER BY id LIMIT 1), lower(hex(randomblob(16)))));

-- A state is the machine after a move; 0: before the first.
CREATE TABLE states (
    id    INTEGER PRIMARY KEY,
    state TEXT NOT NULL UNIQUE CHECK (length(CAST(state AS BLOB)) BETWEEN 1 AND 500 AND state = trim(state)
        AND instr(state, char(0)) = 0 AND state NOT GLOB '*[' || char(1,45,31,127,45,159) || ']*'),
    at    TEXT NOT NULL CHECK (at = '' OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*'),
    move  INTEGER NOT NULL CHECK (move >= 0)
) STRICT;

-- Journal rows that brought another copy's work in, and up to which of its moves.
CREATE TABLE merges (
    journal INTEGER PRIMARY KEY REFERENCES journal (id) DEFERRABLE INITIALLY DEFERRED,
    theirs  TEXT NOT NULL CHECK (length(theirs) = 32)
) STRICT;
CREATE TRIGGER merges_stay BEFORE DELETE ON merges
BEGIN SELECT RAISE(ABORT, 'a merge is never deleted'); END;
CREATE TRIGGER merges_fixed BEFORE UPDATE ON merges
BEGIN SELECT RAISE(ABORT, 'a merge is never changed'); END;

-- Where readings and touches stand in the order of things, if not at the journal
-- row that stored them, whose rank is its id times 2199023255552: those of a merge came
-- one after another elsewhere, between rows of this file.
ALTER TABLE readings ADD COLUMN rank INTEGER CHECK (rank >= 0 AND rank < stored * 2199023255552);
ALTER TABLE touches ADD COLUMN rank INTEGER CHECK (rank >= 0 AND rank < stored * 2199023255552);
-- When it was touched, if not at the time of the journal row.
ALTER TABLE touches ADD COLUMN at TEXT CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*');
CREATE TRIGGER readings_rank_fixed BEFORE UPDATE OF rank ON readings
BEGIN SELECT RAISE(ABORT, 'a reading is never changed'); END;
