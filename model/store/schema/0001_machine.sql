-- A project, first shape. Constraints say what model.Validate says; a row that
-- breaks one never reaches the disk, whoever writes it.
--
-- Names: text without space, control character, ; or :, 1 to 500 bytes. The
-- characters listed by number are the white space and controls of Unicode; names
-- of plain ASCII, nearly all, are seen to be good without them. The checks are
-- written to cost little, for an import makes some hundred thousand: SQLite would
-- build a table in memory for each IN with more than two words.
-- A number that is not known is NULL; a text that is not known is empty.

CREATE TABLE journal (
    id      INTEGER PRIMARY KEY CHECK (id > 0),
    at      TEXT NOT NULL CHECK (at = '' OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*'),
    what    TEXT NOT NULL,
    kind    TEXT NOT NULL CHECK (kind = 'edit' OR kind = 'reading'),
    changes INTEGER NOT NULL CHECK (changes > 0),
    state   TEXT NOT NULL CHECK (state = 'done' OR state = 'undone' OR state = 'dropped')
) STRICT;

-- The few rows that can be done again, found without reading the others.
CREATE INDEX journal_undone ON journal (id) WHERE state = 'undone';

-- Apart from journal, so that a change of state does not write a large edit anew.
CREATE TABLE edits (
    id   INTEGER PRIMARY KEY REFERENCES journal (id) DEFERRABLE INITIALLY DEFERRED,
    form TEXT NOT NULL CHECK (form = 'json' OR form = 'gzip'),
    body BLOB NOT NULL
) STRICT;

CREATE TRIGGER journal_stays BEFORE DELETE ON journal
BEGIN SELECT RAISE(ABORT, 'a journal row is never deleted'); END;
CREATE TRIGGER journal_fixed BEFORE UPDATE OF id, at, what, kind, changes ON journal
BEGIN SELECT RAISE(ABORT, 'a journal row is never changed'); END;
CREATE TRIGGER edits_stay BEFORE DELETE ON edits
BEGIN SELECT RAISE(ABORT, 'a journal row is never deleted'); END;
CREATE TRIGGER edits_fixed BEFORE UPDATE ON edits
BEGIN SELECT RAISE(ABORT, 'a journal row is never changed'); END;

CREATE TABLE settings (
    id    INTEGER PRIMARY KEY,
    key   TEXT NOT NULL UNIQUE
        CHECK (key = 'beep_below_ohm' OR key = 'lead_ohm' OR key = 'joint_limit_ohm' OR key = 'drop_limit_percent' OR key = 'supply_use_limit_percent' OR key = 'ambient_c' OR key = 'ampacity'),
    value TEXT NOT NULL CHECK (value = '' OR (length(value) <= 2500 OR length(CAST(value AS BLOB)) <= 10000) AND instr(value, char(0)) = 0),
    CHECK (key = 'ampacity' OR (value GLOB '*[0-9]*' AND value NOT GLOB '*[^0-9.eE+_-]*')),
    CHECK (CASE key
        WHEN 'beep_below_ohm' THEN CAST(value AS REAL) BETWEEN 0 AND 1e6
        WHEN 'lead_ohm' THEN CAST(value AS REAL) BETWEEN 0 AND 1e3
        WHEN 'joint_limit_ohm' THEN CAST(value AS REAL) BETWEEN 0 AND 1e6
        WHEN 'drop_limit_percent' THEN CAST(value AS REAL) BETWEEN 0 AND 100
        WHEN 'supply_use_limit_percent' THEN CAST(value AS REAL) BETWEEN 0 AND 100
        WHEN 'ambient_c' THEN CAST(value AS REAL) BETWEEN -90 AND 200
        ELSE 1 END)
) STRICT;

CREATE TABLE devices (
    id        INTEGER PRIMARY KEY,
    device    TEXT NOT NULL UNIQUE
        CHECK (CASE WHEN length(device) BETWEEN 1 AND 125 AND device NOT GLOB '*[^!-9<-~]*' AND instr(device, char(0)) = 0 THEN 1
        ELSE length(CAST(device AS BLOB)) BETWEEN 1 AND 500 AND instr(device, char(0)) = 0
        AND device NOT GLOB '*[;:' || char(1,45,32,127,45,160,5760,8192,45,8202,8232,8233,8239,8287,12288) || ']*' END),
    kind      TEXT NOT NULL CHECK (kind = '' OR (length(kind) <= 2500 OR length(CAST(kind AS BLOB)) <= 10000) AND instr(kind, char(0)) = 0),
    title     TEXT NOT NULL CHECK (title = '' OR (length(title) <= 2500 OR length(CAST(title AS BLOB)) <= 10000) AND instr(title, char(0)) = 0),
    zone      TEXT NOT NULL CHECK (zone = '' OR (length(zone) <= 2500 OR length(CAST(zone AS BLOB)) <= 10000) AND instr(zone, char(0)) = 0),
    health    TEXT NOT NULL CHECK (health = 'ok' OR health = 'failed' OR health = 'unknown'),
    failed_at TEXT NOT NULL CHECK (failed_at = '' OR failed_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*'),
    load_a    REAL CHECK (load_a BETWEEN 0 AND 1.7976931348623157e308),
    limit_a   REAL CHECK (limit_a BETWEEN 0 AND 1.7976931348623157e308),
    note      TEXT NOT NULL CHECK (note = '' OR (length(note) <= 2500 OR length(CAST(note AS BLOB)) <= 10000) AND instr(note, char(0)) = 0)
) STRICT;

CREATE TABLE terminals (
    id       INTEGER PRIMARY KEY,
    device   INTEGER NOT NULL REFERENCES devices (id) DEFERRABLE INITIALLY DEFERRED,
    terminal TEXT NOT NULL
        CHECK (CASE WHEN length(terminal) BETWEEN 1 AND 125 AND terminal NOT GLOB '*[^!-9<-~]*' AND instr(terminal, char(0)) = 0 THEN 1
        ELSE length(CAST(terminal AS BLOB)) BETWEEN 1 AND 500 AND instr(terminal, char(0)) = 0
        AND terminal NOT GLOB '*[;:' || char(1,45,32,127,45,160,5760,8192,45,8202,8232,8233,8239,8287,12288) || ']*' END),
    role     TEXT NOT NULL CHECK (role = '' OR role = 'line' OR role = 'neutral' OR role = 'earth' OR role = 'rail' OR role = 'return' OR role = 'feed' OR role = 'drive' OR role = 'signal' OR role = 'pass'),
    volts    REAL CHECK (abs(volts) <= 1.7976931348623157e308),
    min_v    REAL CHECK (abs(min_v) <= 1.7976931348623157e308),
    max_v    REAL CHECK (abs(max_v) <= 1.7976931348623157e308),
    section  TEXT NOT NULL CHECK (section = '' OR (length(section) <= 2500 OR length(CAST(section AS BLOB)) <= 10000) AND instr(section, char(0)) = 0),
    CHECK (min_v <= max_v),
    UNIQUE (device, terminal),
    UNIQUE (device, id) -- for links, whose ends are both in one device
) STRICT;

CREATE TABLE links (
    id            INTEGER PRIMARY KEY,
    device        INTEGER NOT NULL,
    from_terminal INTEGER NOT NULL,
    to_terminal   INTEGER NOT NULL,
    kind          TEXT NOT NULL CHECK (kind = 'solid' OR kind = 'fuse' OR kind = 'contact' OR kind = 'resistance' OR kind = 'diode' OR kind = 'capacitance' OR kind = 'electronic'),
    value         REAL CHECK (value BETWEEN 0 AND 1.7976931348623157e308),
    state         TEXT NOT NULL CHECK (state = '' OR state = 'open' OR state = 'closed'),
    CHECK (from_terminal <> to_terminal),
    CHECK (state = '' OR kind IN ('fuse', 'contact')),
    FOREIGN KEY (device, from_terminal) REFERENCES terminals (device, id) DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY (device, to_terminal) REFERENCES terminals (device, id) DEFERRABLE INITIALLY DEFERRED
) STRICT;

-- One link of a kind between two terminals; only a diode has a direction.
CREATE UNIQUE INDEX links_once ON links (min(from_terminal, to_terminal), max(from_terminal, to_terminal), kind) WHERE kind <> 'diode';
CREATE UNIQUE INDEX links_once_diode ON links (from_terminal, to_terminal) WHERE kind = 'diode';
-- Deleting a terminal looks for what ends there.
CREATE INDEX links_from ON links (from_terminal);
CREATE INDEX links_to ON links (to_terminal);

-- gauge_awg: 0 for 1/0, -1 for 2/0 and so on. The colour is made of codes of
-- IEC 60757: what is left when every code is taken out must be nothing.
CREATE TABLE wires (
    id            INTEGER PRIMARY KEY,
    wire          TEXT NOT NULL UNIQUE
        CHECK (CASE WHEN length(wire) BETWEEN 1 AND 125 AND wire NOT GLOB '*[^!-9<-~]*' AND instr(wire, char(0)) = 0 THEN 1
        ELSE length(CAST(wire AS BLOB)) BETWEEN 1 AND 500 AND instr(wire, char(0)) = 0
        AND wire NOT GLOB '*[;:' || char(1,45,32,127,45,160,5760,8192,45,8202,8232,8233,8239,8287,12288) || ']*' END),
    from_terminal INTEGER NOT NULL REFERENCES terminals (id) DEFERRABLE INITIALLY DEFERRED,
    to_terminal   INTEGER NOT NULL REFERENCES terminals (id) DEFERRABLE INITIALLY DEFERRED,
    colour        TEXT NOT NULL CHECK (colour = '' OR colour = 'GNYE' OR colour = 'RD' OR colour = 'BK' OR colour = 'BU' OR colour = 'WH' OR colour = 'BN' OR colour = 'YE' OR colour = 'GN' OR colour = 'OG' OR colour = 'GY' OR colour = 'VT' OR colour = 'PK' OR (length(colour) <= 28 AND instr(colour, '.') = 0 AND ltrim(
        replace(replace(replace(replace(replace(replace(replace(replace(replace(replace(replace(replace(replace(replace(replace(colour, 'GNYE', '.'), 'YE', '.'), 'BK', '.'), 'BN', '.'), 'RD', '.'), 'OG', '.'), 'GN', '.'), 'BU', '.'), 'VT', '.'), 'GY', '.'), 'WH', '.'), 'PK', '.'), 'GD', '.'), 'TQ', '.'), 'SR', '.'), '.') = '')),
    gauge_awg     INTEGER CHECK (gauge_awg BETWEEN -3 AND 40),
    gauge_mm2     REAL CHECK (gauge_mm2 BETWEEN 0.001 AND 1000),
    length_m      REAL CHECK (length_m BETWEEN 0 AND 1.7976931348623157e308),
    cable         TEXT NOT NULL CHECK (cable = '' OR (length(cable) <= 2500 OR length(CAST(cable AS BLOB)) <= 10000) AND instr(cable, char(0)) = 0),
    basis         TEXT NOT NULL CHECK (basis = 'planned' OR basis = 'seen' OR basis = 'probed'),
    removed       INTEGER NOT NULL CHECK (removed IN (0, 1)),
    CHECK (from_terminal <> to_terminal),
    CHECK (gauge_awg IS NULL OR gauge_mm2 IS NULL)
) STRICT;
CREATE INDEX wires_from ON wires (from_terminal);
CREATE INDEX wires_to ON wires (to_terminal);

CREATE TABLE bonds (
    id            INTEGER PRIMARY KEY,
    from_terminal INTEGER NOT NULL REFERENCES terminals (id) DEFERRABLE INITIALLY DEFERRED,
    to_terminal   INTEGER NOT NULL REFERENCES terminals (id) DEFERRABLE INITIALLY DEFERRED,
    reason        TEXT NOT NULL CHECK (reason = '' OR (length(reason) <= 2500 OR length(CAST(reason AS BLOB)) <= 10000) AND instr(reason, char(0)) = 0),
    CHECK (from_terminal <> to_terminal)
) STRICT;
CREATE UNIQUE INDEX bonds_once ON bonds (min(from_terminal, to_terminal), max(from_terminal, to_terminal));
CREATE INDEX bonds_from ON bonds (from_terminal);
CREATE INDEX bonds_to ON bonds (to_terminal);

-- red and black stay as they were noted. A reading whose terminal has left the
-- map is away: kept here, out of the machine, until the journal row named in
-- away is gone through again. conditions is a JSON list, empty at rest.
CREATE TABLE readings (
    reading        INTEGER PRIMARY KEY CHECK (reading > 0),
    stored         INTEGER NOT NULL REFERENCES journal (id) DEFERRABLE INITIALLY DEFERRED,
    at             TEXT NOT NULL CHECK (at = '' OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*'),
    red            TEXT NOT NULL,
    black          TEXT NOT NULL,
    red_terminal   INTEGER REFERENCES terminals (id) DEFERRABLE INITIALLY DEFERRED,
    black_terminal INTEGER REFERENCES terminals (id) DEFERRABLE INITIALLY DEFERRED,
    away           INTEGER REFERENCES journal (id) DEFERRABLE INITIALLY DEFERRED,
    mode           TEXT NOT NULL CHECK (mode = 'continuity' OR mode = 'ohms' OR mode = 'diode' OR mode = 'volts-dc' OR mode = 'volts-ac'),
    shows          TEXT NOT NULL CHECK (shows = 'number' OR shows = 'OL' OR shows = 'beep' OR shows = 'silent'),
    value          REAL CHECK (abs(value) <= 1.7976931348623157e308),
    drift          TEXT NOT NULL CHECK (drift = '' OR drift = 'steady' OR drift = 'rising' OR drift = 'falling'),
    conditions     TEXT NOT NULL CHECK (conditions = '' OR json_valid(conditions)),
    note           TEXT NOT NULL CHECK (note = '' OR (length(note) <= 2500 OR length(CAST(note AS BLOB)) <= 10000) AND instr(note, char(0)) = 0),
    meter          TEXT NOT NULL CHECK (meter = '' OR (length(meter) <= 2500 OR length(CAST(meter AS BLOB)) <= 10000) AND instr(meter, char(0)) = 0),
    struck         TEXT NOT NULL CHECK (struck = '' OR (length(struck) <= 2500 OR length(CAST(struck AS BLOB)) <= 10000) AND instr(struck, char(0)) = 0),
    CHECK (red <> black AND red LIKE '_%:_%' AND black LIKE '_%:_%'),
    CHECK ((shows = 'number') = (value IS NOT NULL)),
    CHECK (CASE mode WHEN 'continuity' THEN shows IN ('beep', 'silent')
        WHEN 'ohms' THEN shows IN ('number', 'OL') WHEN 'diode' THEN shows IN ('number', 'OL') ELSE shows = 'number' END),
    CHECK ((away IS NULL) = (red_terminal IS NOT NULL) AND (away IS NULL) = (black_terminal IS NOT NULL))
) STRICT;
CREATE INDEX readings_red ON readings (red_terminal);
CREATE INDEX readings_black ON readings (black_terminal);
CREATE INDEX readings_away ON readings (away) WHERE away IS NOT NULL;

CREATE TRIGGER readings_stay BEFORE DELETE ON readings
BEGIN SELECT RAISE(ABORT, 'a reading is never deleted'); END;
CREATE TRIGGER readings_fixed BEFORE UPDATE OF reading, stored, at, red, black, mode, shows, value, drift, conditions, note, meter ON readings
BEGIN SELECT RAISE(ABORT, 'a reading is never changed'); END;

-- Where an edit changed conduction after readings had been stored. The names
-- stay when the terminals go: a path of an old reading may have run there.
CREATE TABLE touches (
    stored INTEGER NOT NULL REFERENCES journal (id) DEFERRABLE INITIALLY DEFERRED,
    a      TEXT NOT NULL,
    b      TEXT NOT NULL,
    PRIMARY KEY (stored, a, b)
) STRICT, WITHOUT ROWID;
