-- What queries read: the documents as rows, and what follows from them. All of it can be dropped
-- and rebuilt from truth.sql to the same rows. `vehicle`, `kit`, `amplifier` and `job` columns
-- that are INTEGER hold the number of a revision, so rival revisions of one entry stand side by
-- side; `answers` marks the one that answers: the newest verified, else the newest submitted.
-- `newest` marks the newest submitted or verified one.

CREATE TABLE entry (
    revision  INTEGER PRIMARY KEY REFERENCES revision (number),
    kind      TEXT NOT NULL,
    id        TEXT NOT NULL,
    hash      TEXT NOT NULL,
    state     TEXT NOT NULL,
    author    TEXT NOT NULL,
    origin    TEXT NOT NULL,
    submitted TEXT NOT NULL,
    answers   INTEGER NOT NULL,
    newest    INTEGER NOT NULL,
    alone     INTEGER NOT NULL,              -- verified by a shop of one
    reason    TEXT,                          -- why less than a measurement of every feed sufficed
    disputes  INTEGER NOT NULL,              -- pins on which another live revision differs
    measured  INTEGER NOT NULL               -- pins with a measurement, hearsay and diagrams not counted
) STRICT;
CREATE INDEX entry_id ON entry (kind, id);
CREATE INDEX entry_state ON entry (state, submitted);
CREATE INDEX entry_signed_less ON entry (revision) WHERE alone = 1 OR reason IS NOT NULL;

CREATE TABLE vehicle (
    vehicle       INTEGER PRIMARY KEY REFERENCES entry (revision),
    id            TEXT NOT NULL,
    make          TEXT NOT NULL,
    model         TEXT NOT NULL,
    first_year    INTEGER NOT NULL,
    last_year     INTEGER,                   -- NULL: still sold, or open
    body          TEXT,
    audio         TEXT,
    sold_speakers INTEGER,
    speakers      INTEGER NOT NULL,
    state         TEXT NOT NULL,
    answers       INTEGER NOT NULL,
    newest        INTEGER NOT NULL,
    words         TEXT NOT NULL              -- everything written about it, for `text ~`
) STRICT;
CREATE INDEX vehicle_id ON vehicle (id);
CREATE INDEX vehicle_answers ON vehicle (answers, vehicle);
CREATE INDEX vehicle_named ON vehicle (answers, make, model, first_year, id);

CREATE TABLE wmi (
    vehicle INTEGER NOT NULL REFERENCES vehicle (vehicle),
    wmi     TEXT NOT NULL,
    PRIMARY KEY (vehicle, wmi)
) STRICT, WITHOUT ROWID;
CREATE INDEX wmi_vehicle ON wmi (wmi);

-- The words by which a vehicle is found while they are written: a range of this key answers for the
-- beginning of a word, whatever SQLite was built with.
CREATE TABLE vehicle_word (
    vehicle INTEGER NOT NULL REFERENCES vehicle (vehicle),
    word    TEXT NOT NULL,
    PRIMARY KEY (word, vehicle)
) STRICT, WITHOUT ROWID;
CREATE INDEX vehicle_word_vehicle ON vehicle_word (vehicle);

CREATE TABLE unit (
    vehicle     INTEGER NOT NULL REFERENCES vehicle (vehicle),
    unit        TEXT NOT NULL,
    kind        TEXT NOT NULL,
    place       TEXT,
    senses_load INTEGER,                     -- NULL: nobody wrote it down
    PRIMARY KEY (vehicle, unit)
) STRICT, WITHOUT ROWID;

CREATE TABLE speaker (
    vehicle         INTEGER NOT NULL REFERENCES vehicle (vehicle),
    speaker         TEXT NOT NULL,
    position        INTEGER NOT NULL,        -- order in the document
    place           TEXT,
    role            TEXT NOT NULL,
    ohms            REAL,
    duties          TEXT,                    -- space between; empty: none; NULL: nobody said
    keep            TEXT,
    blocks_below_hz REAL,
    PRIMARY KEY (vehicle, speaker)
) STRICT, WITHOUT ROWID;
CREATE INDEX speaker_role ON speaker (role, vehicle);

CREATE TABLE connector (
    vehicle   INTEGER NOT NULL REFERENCES vehicle (vehicle),
    connector TEXT NOT NULL,
    unit      TEXT,                          -- NULL: in-line
    kind      TEXT NOT NULL,                 -- of its unit, or in-line
    plug      TEXT NOT NULL,
    ways      INTEGER,
    rows      INTEGER,
    numbering TEXT,                          -- rows or columns; NULL: nobody wrote it down
    seen_from TEXT,                          -- wire or mating: where way 1 is at the upper left
    place     TEXT,                          -- its own, else its unit's
    PRIMARY KEY (vehicle, connector)
) STRICT, WITHOUT ROWID;
CREATE INDEX connector_plug ON connector (plug, vehicle);

CREATE TABLE pin (
    vehicle      INTEGER NOT NULL REFERENCES vehicle (vehicle),
    connector    TEXT NOT NULL,
    at           TEXT NOT NULL,
    position     INTEGER NOT NULL,           -- order as people count, within the connector
    carries      TEXT,                       -- circuits with a space between; '': known to be empty;
                                             -- NULL: there is a wire, and nobody knows
    wire         TEXT,                       -- IEC 60757 letters, base first: GY/BK
    base         TEXT,
    stripe       TEXT,
    wire_written TEXT,                       -- as the document has it
    mm2          REAL,
    awg          INTEGER,                    -- 0 for 1/0, -1 for 2/0; only where written in AWG
    PRIMARY KEY (vehicle, connector, at)
) STRICT, WITHOUT ROWID;

-- One row for each circuit on a pin that is not a speaker's.
CREATE TABLE pin_circuit (
    vehicle   INTEGER NOT NULL,
    connector TEXT NOT NULL,
    at        TEXT NOT NULL,
    circuit   TEXT NOT NULL,
    PRIMARY KEY (vehicle, connector, at, circuit),
    FOREIGN KEY (vehicle, connector, at) REFERENCES pin (vehicle, connector, at)
) STRICT, WITHOUT ROWID;

-- One row for each speaker pole on a pin, at a unit or in line.
CREATE TABLE pole (
    vehicle   INTEGER NOT NULL,
    connector TEXT NOT NULL,
    at        TEXT NOT NULL,
    speaker   TEXT NOT NULL,
    coil      TEXT NOT NULL,                 -- 'a', 'b', or '' for a speaker with one coil
    pole      TEXT NOT NULL CHECK (pole IN ('+', '-')),
    position  INTEGER NOT NULL,              -- of the pin: connector by connector, then as people count
    unit      TEXT,                          -- NULL: in line
    PRIMARY KEY (vehicle, connector, at, speaker, coil, pole),
    FOREIGN KEY (vehicle, connector, at) REFERENCES pin (vehicle, connector, at)
) STRICT, WITHOUT ROWID;
CREATE INDEX pole_speaker ON pole (vehicle, speaker, coil, pole, position);

CREATE TABLE panel (
    vehicle INTEGER NOT NULL REFERENCES vehicle (vehicle),
    panel   TEXT NOT NULL,
    minutes REAL,
    PRIMARY KEY (vehicle, panel)
) STRICT, WITHOUT ROWID;

-- Panels that must come off to get at a unit, a speaker or a connector.
CREATE TABLE panel_before (
    vehicle INTEGER NOT NULL REFERENCES vehicle (vehicle),
    thing   TEXT NOT NULL CHECK (thing IN ('unit', 'speaker', 'connector')),
    id      TEXT NOT NULL,
    panel   TEXT NOT NULL,
    PRIMARY KEY (vehicle, thing, id, panel)
) STRICT, WITHOUT ROWID;

CREATE TABLE route (
    vehicle  INTEGER NOT NULL REFERENCES vehicle (vehicle),
    position INTEGER NOT NULL,               -- order in the document
    place_a  TEXT NOT NULL,
    place_b  TEXT NOT NULL,
    metres   REAL,
    note     TEXT,
    PRIMARY KEY (vehicle, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE route_panel (
    vehicle  INTEGER NOT NULL,
    position INTEGER NOT NULL,
    panel    TEXT NOT NULL,
    PRIMARY KEY (vehicle, position, panel),
    FOREIGN KEY (vehicle, position) REFERENCES route (vehicle, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE kit (
    kit          INTEGER PRIMARY KEY REFERENCES entry (revision),
    id           TEXT NOT NULL,
    maker        TEXT NOT NULL,
    name         TEXT NOT NULL,
    line_outputs INTEGER,
    state        TEXT NOT NULL,
    answers      INTEGER NOT NULL,
    newest       INTEGER NOT NULL
) STRICT;
CREATE INDEX kit_id ON kit (id);

CREATE TABLE takes_out (
    kit  INTEGER NOT NULL REFERENCES kit (kit),
    kind TEXT NOT NULL,
    PRIMARY KEY (kit, kind)
) STRICT, WITHOUT ROWID;

CREATE TABLE part (
    kit        INTEGER NOT NULL REFERENCES kit (kit),
    part       TEXT NOT NULL,
    position   INTEGER NOT NULL,             -- order in the document
    use        TEXT NOT NULL CHECK (use IN ('always', 'choice')),
    unit       TEXT,                         -- kind of unit that it mates at; NULL: any
    intercepts INTEGER,
    PRIMARY KEY (kit, part)
) STRICT, WITHOUT ROWID;

CREATE TABLE part_plug (
    kit  INTEGER NOT NULL,
    part TEXT NOT NULL,
    plug TEXT NOT NULL,
    PRIMARY KEY (kit, part, plug),
    FOREIGN KEY (kit, part) REFERENCES part (kit, part)
) STRICT, WITHOUT ROWID;

CREATE TABLE lead (
    kit       INTEGER NOT NULL,
    part      TEXT NOT NULL,
    lead      TEXT NOT NULL,
    position  INTEGER NOT NULL,              -- order in the document, across the kit's parts
    plug      TEXT NOT NULL,
    plus      TEXT NOT NULL,
    minus     TEXT NOT NULL,
    wire      TEXT,
    meant_for TEXT,
    PRIMARY KEY (kit, part, lead),
    FOREIGN KEY (kit, part) REFERENCES part (kit, part)
) STRICT, WITHOUT ROWID;
CREATE INDEX lead_plug ON lead (plug, kit);

CREATE TABLE amplifier (
    amplifier INTEGER PRIMARY KEY REFERENCES entry (revision),
    id        TEXT NOT NULL,
    maker     TEXT NOT NULL,
    name      TEXT NOT NULL,
    state     TEXT NOT NULL,
    answers   INTEGER NOT NULL,
    newest    INTEGER NOT NULL
) STRICT;
CREATE INDEX amplifier_id ON amplifier (id);

CREATE TABLE job (
    job     INTEGER PRIMARY KEY REFERENCES entry (revision),
    id      TEXT NOT NULL,
    vehicle TEXT NOT NULL,                   -- the entry's id: the revision that answers is used
    kit     TEXT NOT NULL,
    state   TEXT NOT NULL,
    answers INTEGER NOT NULL,
    newest  INTEGER NOT NULL
) STRICT;
CREATE INDEX job_id ON job (id);

-- How a pin was established, one row for each pin and method; what was brought before the pin was
-- told otherwise is left out (older_evidence.py).
CREATE TABLE evidence (
    revision  INTEGER NOT NULL REFERENCES entry (revision),
    position  INTEGER NOT NULL,              -- order in the document
    connector TEXT NOT NULL,
    at        TEXT NOT NULL,
    method    TEXT NOT NULL,
    day       TEXT,
    note      TEXT,
    PRIMARY KEY (revision, position, connector, at)
) STRICT, WITHOUT ROWID;
CREATE INDEX evidence_pin ON evidence (revision, connector, at);

-- Pins on which two live revisions of one entry differ; each side is listed.
CREATE TABLE dispute (
    revision  INTEGER NOT NULL REFERENCES entry (revision),
    connector TEXT NOT NULL,
    at        TEXT NOT NULL,
    rival     INTEGER NOT NULL REFERENCES entry (revision),
    PRIMARY KEY (revision, connector, at, rival)
) STRICT, WITHOUT ROWID;

-- Derived by derive.sql: the feeds that the pin tables imply, and each speaker's feeding unit.
CREATE TABLE feed (
    vehicle         INTEGER NOT NULL,
    speaker         TEXT NOT NULL,
    coil            TEXT NOT NULL,
    unit            TEXT,                    -- NULL: no pole at a unit, or two units claim it
    plus_connector  TEXT, plus  TEXT, plus_wire  TEXT,
    minus_connector TEXT, minus TEXT, minus_wire TEXT,
    doubled         INTEGER NOT NULL DEFAULT 0,  -- 1: a pole of it is on several ways of the unit
    PRIMARY KEY (vehicle, speaker, coil),
    FOREIGN KEY (vehicle, speaker) REFERENCES speaker (vehicle, speaker)
) STRICT, WITHOUT ROWID;
CREATE INDEX feed_doubled ON feed (vehicle) WHERE doubled = 1;

CREATE TABLE fed_by (
    vehicle   INTEGER NOT NULL,
    speaker   TEXT NOT NULL,
    units     INTEGER NOT NULL,              -- how many units own pins of it: 1 is an answer
    unit      TEXT,                          -- NULL unless exactly one unit does
    kind      TEXT,
    documented INTEGER NOT NULL,             -- 1: every feed has a plus and a minus pin at that unit
    PRIMARY KEY (vehicle, speaker),
    FOREIGN KEY (vehicle, speaker) REFERENCES speaker (vehicle, speaker)
) STRICT, WITHOUT ROWID;
CREATE INDEX fed_by_kind ON fed_by (kind, vehicle);
CREATE INDEX fed_by_unit ON fed_by (unit, vehicle);
