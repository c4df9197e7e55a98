-- What the book is: every revision ever stored and every act upon one, append-only and chained.
-- Nothing here is ever changed or taken away; the tables of projection.sql follow from these.

-- Facts of this one file: `shop` is the origin that its own revisions bear.
CREATE TABLE book (
    name  TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT;

-- An immutable version of a document. `hash` names it and covers kind, id, content, author,
-- origin and parent; the evidence is part of the content.
CREATE TABLE revision (
    number  INTEGER PRIMARY KEY,               -- order of arrival in this file, never shared
    hash    TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
    kind    TEXT NOT NULL CHECK (kind IN ('vehicle', 'kit', 'amplifier', 'job')),
    id      TEXT NOT NULL,
    content TEXT NOT NULL CHECK (json_valid(content)),
    author  TEXT NOT NULL,
    origin  TEXT NOT NULL,
    parent  TEXT                               -- hash of the revision it was made from
) STRICT;
CREATE INDEX revision_of_entry ON revision (kind, id, number);

-- An act upon a revision. `hash` covers the act itself; `chain` covers it and all before it.
CREATE TABLE record (
    number   INTEGER PRIMARY KEY,
    hash     TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
    revision TEXT NOT NULL REFERENCES revision (hash),
    act      TEXT NOT NULL
             CHECK (act IN ('draft', 'submit', 'return', 'verify', 'supersede', 'withdraw')),
    by       TEXT NOT NULL,
    origin   TEXT NOT NULL,
    at       TEXT NOT NULL,                    -- UTC, ISO 8601
    reason   TEXT,
    alone    INTEGER NOT NULL DEFAULT 0 CHECK (alone IN (0, 1)),
    previous TEXT NOT NULL,
    chain    TEXT NOT NULL UNIQUE
) STRICT;
CREATE INDEX record_of_revision ON record (revision, number);

CREATE TRIGGER revision_is_never_changed BEFORE UPDATE ON revision
BEGIN SELECT RAISE(ABORT, 'a revision is never changed'); END;
CREATE TRIGGER revision_is_never_deleted BEFORE DELETE ON revision
BEGIN SELECT RAISE(ABORT, 'a revision is never deleted'); END;
CREATE TRIGGER record_is_never_changed BEFORE UPDATE ON record
BEGIN SELECT RAISE(ABORT, 'a record is never changed'); END;
CREATE TRIGGER record_is_never_deleted BEFORE DELETE ON record
BEGIN SELECT RAISE(ABORT, 'a record is never deleted'); END;

-- The state of each revision: its last act of this shop, or, before there is one, its arrival.
-- A review from another shop informs and never changes a state here.
CREATE VIEW revision_state (number, hash, kind, id, state, submitted) AS
SELECT v.number, v.hash, v.kind, v.id,
       CASE (SELECT r.act FROM record r
             WHERE r.revision = v.hash
               AND (r.act IN ('draft', 'submit', 'withdraw')
                    OR r.origin = (SELECT value FROM book WHERE name = 'shop'))
             ORDER BY r.number DESC LIMIT 1)
            WHEN 'draft' THEN 'draft' WHEN 'submit' THEN 'submitted' WHEN 'return' THEN 'returned'
            WHEN 'verify' THEN 'verified' WHEN 'supersede' THEN 'superseded'
            WHEN 'withdraw' THEN 'withdrawn' END,
       (SELECT r.at FROM record r
        WHERE r.revision = v.hash AND r.act IN ('draft', 'submit')
        ORDER BY r.act = 'submit' DESC, r.number LIMIT 1)
FROM revision v;
