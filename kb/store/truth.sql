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

-- An act upon a revision; or, with no revision, upon the shop's own list of people (`role`) or its
-- name (`name`). `hash` covers the act itself; `chain` covers it and all before it. `arrived` marks
-- what another book made and `share in` brought.
CREATE TABLE record (
    number   INTEGER PRIMARY KEY,
    hash     TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
    revision TEXT REFERENCES revision (hash),
    act      TEXT NOT NULL CHECK (act IN ('draft', 'submit', 'return', 'verify', 'supersede',
                                          'withdraw', 'role', 'name')),
    by       TEXT NOT NULL CHECK (trim(by) <> ''),
    origin   TEXT NOT NULL,
    at       TEXT NOT NULL,                    -- UTC, ISO 8601
    reason   TEXT,
    alone    INTEGER NOT NULL DEFAULT 0 CHECK (alone IN (0, 1)),
    batch    TEXT,                             -- what came in together bears one name
    person   TEXT,                             -- role: whose
    value    TEXT,                             -- role: tech, lead or none; name: the shop's name
    arrived  INTEGER NOT NULL DEFAULT 0 CHECK (arrived IN (0, 1)),
    previous TEXT NOT NULL,
    chain    TEXT NOT NULL UNIQUE,
    CHECK ((revision IS NULL) = (act IN ('role', 'name'))),
    CHECK ((person IS NOT NULL) = (act = 'role')),
    CHECK ((value IS NOT NULL) = (act IN ('role', 'name'))),
    CHECK (act <> 'role' OR value IN ('tech', 'lead', 'none')),
    CHECK (alone = 0 OR act = 'verify')
) STRICT;
CREATE INDEX record_of_revision ON record (revision, number);
CREATE INDEX record_of_person ON record (person COLLATE NOCASE, number) WHERE act = 'role';
CREATE INDEX record_of_batch ON record (batch) WHERE batch IS NOT NULL;
CREATE INDEX record_of_origin ON record (origin, at);

CREATE TRIGGER revision_is_never_changed BEFORE UPDATE ON revision
BEGIN SELECT RAISE(ABORT, 'a revision is never changed'); END;
CREATE TRIGGER revision_is_never_deleted BEFORE DELETE ON revision
BEGIN SELECT RAISE(ABORT, 'a revision is never deleted'); END;
CREATE TRIGGER record_is_never_changed BEFORE UPDATE ON record
BEGIN SELECT RAISE(ABORT, 'a record is never changed'); END;
CREATE TRIGGER record_is_never_deleted BEFORE DELETE ON record
BEGIN SELECT RAISE(ABORT, 'a record is never deleted'); END;
-- OR REPLACE would take a row away without a delete trigger.
CREATE TRIGGER revision_is_never_replaced BEFORE INSERT ON revision
WHEN EXISTS (SELECT 1 FROM revision v WHERE v.hash = NEW.hash OR v.number = NEW.number)
BEGIN SELECT RAISE(ABORT, 'a revision is never replaced'); END;
CREATE TRIGGER record_is_never_replaced BEFORE INSERT ON record
WHEN EXISTS (SELECT 1 FROM record r
             WHERE r.hash = NEW.hash OR r.number = NEW.number OR r.chain = NEW.chain)
BEGIN SELECT RAISE(ABORT, 'a record is never replaced'); END;
CREATE TRIGGER the_shop_keeps_its_origin BEFORE UPDATE ON book WHEN OLD.name = 'shop'
BEGIN SELECT RAISE(ABORT, 'the shop keeps its origin'); END;
CREATE TRIGGER the_shop_never_loses_its_origin BEFORE DELETE ON book WHEN OLD.name = 'shop'
BEGIN SELECT RAISE(ABORT, 'the shop keeps its origin'); END;
CREATE TRIGGER the_shop_has_one_origin BEFORE INSERT ON book
WHEN NEW.name = 'shop' AND EXISTS (SELECT 1 FROM book b WHERE b.name = 'shop')
BEGIN SELECT RAISE(ABORT, 'the shop keeps its origin'); END;
