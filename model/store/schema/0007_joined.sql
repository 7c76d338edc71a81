-- A basis more: joined, where the meter proved that metal joins two terminals and
-- nobody has seen which way the wire runs. A check can only be changed by making
-- the table anew.
CREATE TABLE wires_now (
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
    basis         TEXT NOT NULL CHECK (basis IN ('planned', 'seen', 'probed', 'joined')),
    removed       INTEGER NOT NULL CHECK (removed IN (0, 1)),
    CHECK (from_terminal <> to_terminal),
    CHECK (gauge_awg IS NULL OR gauge_mm2 IS NULL)
) STRICT;
INSERT INTO wires_now SELECT id, wire, from_terminal, to_terminal, colour, gauge_awg, gauge_mm2, length_m, cable, basis, removed FROM wires;
DROP TABLE wires;
ALTER TABLE wires_now RENAME TO wires;
CREATE INDEX wires_from ON wires (from_terminal);
CREATE INDEX wires_to ON wires (to_terminal);
