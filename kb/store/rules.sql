-- Who may do what to which revision, as the database itself holds it: every record passes these
-- triggers, whatever program writes it. What a person reads first is kb.review's sentence; what
-- cannot be got around is here. `audit` passes the whole history through the same triggers again.

-- The state of each revision: the last act upon it in this book, or, before there is one, its
-- arrival. A review from elsewhere informs and never changes a state here; a withdrawal by the
-- author, from the revision's own origin, does while nobody here has acted upon it.
CREATE VIEW revision_state (number, hash, kind, id, state, submitted) AS
SELECT v.number, v.hash, v.kind, v.id,
       CASE (SELECT r.act FROM record r
             WHERE r.revision = v.hash AND r.arrived = 0 ORDER BY r.number DESC LIMIT 1)
            WHEN 'draft' THEN 'draft' WHEN 'submit' THEN 'submitted' WHEN 'return' THEN 'returned'
            WHEN 'verify' THEN 'verified' WHEN 'supersede' THEN 'superseded'
            WHEN 'withdraw' THEN 'withdrawn'
            ELSE CASE
                WHEN EXISTS (SELECT 1 FROM record r
                             WHERE r.revision = v.hash AND r.act = 'withdraw'
                               AND r.by = v.author AND r.origin = v.origin) THEN 'withdrawn'
                WHEN EXISTS (SELECT 1 FROM record r
                             WHERE r.revision = v.hash AND r.act = 'submit') THEN 'submitted' END
       END,
       coalesce((SELECT min(r.at) FROM record r WHERE r.revision = v.hash AND r.act = 'submit'),
                (SELECT min(r.at) FROM record r WHERE r.revision = v.hash AND r.act = 'draft'))
FROM revision v;

-- Who is listed, by the newest word on each. Whoever is not here acts as a technician.
CREATE VIEW person (name, role, since, by) AS
SELECT r.person, r.value, r.at, r.by FROM record r
WHERE r.act = 'role' AND r.value <> 'none'
  AND r.number = (SELECT max(x.number) FROM record x
                  WHERE x.act = 'role' AND x.person = r.person COLLATE NOCASE);

-- Whose each line of evidence is: the author of the first revision of the entry that bore it.
CREATE VIEW evidence_author (revision, position, method, measured, author) AS
SELECT v.hash, e.key, json_extract(e.value, '$.method'),
       json_extract(e.value, '$.method') IN ('meter', 'tone', 'polarity-pop', 'scope'),
       (SELECT w.author FROM revision w, json_each(w.content, '$.evidence') x
        WHERE w.kind = v.kind AND w.id = v.id AND x.value = e.value ORDER BY w.number LIMIT 1)
FROM revision v, json_each(v.content, '$.evidence') e;

-- The pins with a measurement, once for each; hearsay and diagrams are none.
CREATE VIEW measured_pin (revision, connector, at) AS
SELECT revision, connector, at FROM evidence
WHERE method IN ('meter', 'tone', 'polarity-pop', 'scope');

-- The poles of feeds that measurements at the feeding unit do not cover: none is documented, or one
-- of its ways was never measured. A pole that is on two ways is measured on both, for a lead may join
-- at either and a cut is made at both.
CREATE VIEW unmeasured (revision, speaker, coil, pole) AS
SELECT f.vehicle, f.speaker, f.coil, x.pole
FROM feed f CROSS JOIN (SELECT '+' AS pole UNION ALL SELECT '-') x
WHERE NOT EXISTS (
    SELECT 1 FROM pole p
    WHERE p.vehicle = f.vehicle AND p.speaker = f.speaker AND p.coil = f.coil AND p.pole = x.pole
      AND p.unit IS NOT NULL)
   OR EXISTS (
    SELECT 1 FROM pole p
    WHERE p.vehicle = f.vehicle AND p.speaker = f.speaker AND p.coil = f.coil AND p.pole = x.pole
      AND p.unit IS NOT NULL AND NOT EXISTS (
        SELECT 1 FROM measured_pin m
        WHERE m.revision = p.vehicle AND m.connector = p.connector AND m.at = p.at));

CREATE TRIGGER the_chain_goes_on_from_its_end BEFORE INSERT ON record
WHEN NEW.previous <> coalesce((SELECT chain FROM record ORDER BY number DESC LIMIT 1),
                              printf('%064d', 0))
BEGIN SELECT RAISE(ABORT, 'a record goes on from the end of the chain'); END;

CREATE TRIGGER an_act_made_here_says_so BEFORE INSERT ON record
WHEN NEW.arrived = 0 AND NEW.origin <> (SELECT value FROM book WHERE name = 'shop')
BEGIN SELECT RAISE(ABORT, 'an act made here bears this shop''s own origin'); END;

CREATE TRIGGER drafts_and_roles_stay_at_home BEFORE INSERT ON record
WHEN NEW.arrived = 1 AND NEW.act IN ('draft', 'role')
BEGIN SELECT RAISE(ABORT, 'drafts and roles never come from elsewhere'); END;

CREATE TRIGGER the_author_submits BEFORE INSERT ON record
WHEN NEW.act IN ('draft', 'submit')
     AND NOT EXISTS (SELECT 1 FROM revision v WHERE v.hash = NEW.revision
                     AND v.author = NEW.by AND v.origin = NEW.origin)
BEGIN SELECT RAISE(ABORT, 'only its author submits a revision'); END;

CREATE TRIGGER a_draft_comes_first BEFORE INSERT ON record
WHEN NEW.act = 'draft' AND EXISTS (SELECT 1 FROM record r WHERE r.revision = NEW.revision)
BEGIN SELECT RAISE(ABORT, 'only a new revision is a draft'); END;

CREATE TRIGGER a_submission_follows_a_draft BEFORE INSERT ON record
WHEN NEW.act = 'submit' AND NEW.arrived = 0
     AND (SELECT s.state FROM revision_state s WHERE s.hash = NEW.revision) <> 'draft'
BEGIN SELECT RAISE(ABORT, 'only a draft or a new revision is submitted'); END;

CREATE TRIGGER the_author_withdraws BEFORE INSERT ON record
WHEN NEW.act = 'withdraw' AND NEW.arrived = 0
     AND NOT EXISTS (SELECT 1 FROM revision v JOIN revision_state s USING (number)
                     WHERE v.hash = NEW.revision AND v.author = NEW.by AND v.origin = NEW.origin
                       AND s.state IN ('draft', 'submitted', 'verified'))
BEGIN SELECT RAISE(ABORT, 'only its author withdraws a revision, while it is draft, submitted or verified'); END;

CREATE TRIGGER a_lead_reviews BEFORE INSERT ON record
WHEN NEW.act IN ('verify', 'return', 'supersede') AND NEW.arrived = 0
     AND NOT EXISTS (SELECT 1 FROM person p
                     WHERE p.name = NEW.by COLLATE NOCASE AND p.role = 'lead')
BEGIN SELECT RAISE(ABORT, 'only a lead reviews'); END;

CREATE TRIGGER what_is_submitted_is_reviewed BEFORE INSERT ON record
WHEN NEW.act IN ('verify', 'return') AND NEW.arrived = 0
     AND (SELECT s.state FROM revision_state s WHERE s.hash = NEW.revision) IS NOT 'submitted'
BEGIN SELECT RAISE(ABORT, 'only a submitted revision is verified or returned'); END;

CREATE TRIGGER a_return_says_why BEFORE INSERT ON record
WHEN NEW.act = 'return' AND NEW.arrived = 0 AND trim(coalesce(NEW.reason, '')) = ''
BEGIN SELECT RAISE(ABORT, 'a return says why'); END;

CREATE TRIGGER nobody_verifies_their_own BEFORE INSERT ON record
WHEN NEW.act = 'verify' AND NEW.arrived = 0 AND NEW.alone = 0
     AND EXISTS (SELECT 1 FROM revision v
                 WHERE v.hash = NEW.revision AND v.author = NEW.by COLLATE NOCASE)
BEGIN SELECT RAISE(ABORT, 'a lead never verifies their own revision'); END;

-- Measurements alone count where there are any: a line of hearsay by somebody else is no second
-- pair of eyes.
CREATE TRIGGER nobody_verifies_on_their_own_evidence BEFORE INSERT ON record
WHEN NEW.act = 'verify' AND NEW.arrived = 0 AND NEW.alone = 0
     AND EXISTS (SELECT 1 FROM evidence_author e WHERE e.revision = NEW.revision)
     AND NOT EXISTS (
         SELECT 1 FROM evidence_author e
         WHERE e.revision = NEW.revision AND e.author <> NEW.by COLLATE NOCASE
           AND (e.measured OR NOT EXISTS (SELECT 1 FROM evidence_author m
                                          WHERE m.revision = NEW.revision AND m.measured)))
BEGIN SELECT RAISE(ABORT, 'a lead never verifies what rests on their own evidence only'); END;

CREATE TRIGGER alone_is_for_a_shop_of_one BEFORE INSERT ON record
WHEN NEW.alone = 1 AND NEW.arrived = 0
     AND EXISTS (SELECT 1 FROM person p WHERE p.role = 'lead' AND p.name <> NEW.by COLLATE NOCASE)
BEGIN SELECT RAISE(ABORT, 'nobody verifies alone where there is another lead'); END;

CREATE TRIGGER what_is_verified_was_measured BEFORE INSERT ON record
WHEN NEW.act = 'verify' AND NEW.arrived = 0 AND trim(coalesce(NEW.reason, '')) = ''
     AND EXISTS (SELECT 1 FROM revision v
                 WHERE v.hash = NEW.revision AND v.kind = 'vehicle'
                   AND (EXISTS (SELECT 1 FROM unmeasured u WHERE u.revision = v.number)
                        OR NOT EXISTS (SELECT 1 FROM vehicle t WHERE t.vehicle = v.number)))
BEGIN SELECT RAISE(ABORT, 'what was not measured is verified only with a reason'); END;

-- One verified revision for each entry: a verification is followed at once by the `supersede` of
-- the one verified before, and nothing is superseded otherwise.
CREATE TRIGGER one_revision_is_verified BEFORE INSERT ON record
BEGIN
    SELECT RAISE(ABORT, 'the revision verified before is superseded first')
    FROM (SELECT * FROM record ORDER BY number DESC LIMIT 1) l
    JOIN revision v ON v.hash = l.revision
    JOIN revision_state s ON s.kind = v.kind AND s.id = v.id AND s.state = 'verified'
    WHERE l.act = 'verify' AND l.arrived = 0 AND s.hash <> l.revision
      AND NOT (NEW.act = 'supersede' AND NEW.arrived = 0 AND NEW.revision = s.hash);
END;

CREATE TRIGGER only_a_verification_supersedes BEFORE INSERT ON record
WHEN NEW.act = 'supersede' AND NEW.arrived = 0
     AND NOT EXISTS (
         SELECT 1 FROM (SELECT * FROM record ORDER BY number DESC LIMIT 1) l
         JOIN revision n ON n.hash = l.revision
         JOIN revision_state s ON s.kind = n.kind AND s.id = n.id
         WHERE l.act = 'verify' AND l.arrived = 0 AND l.by = NEW.by
           AND s.hash = NEW.revision AND s.hash <> n.hash AND s.state = 'verified')
BEGIN SELECT RAISE(ABORT, 'a revision is superseded only by the one just verified'); END;

CREATE TRIGGER a_lead_lists_people BEFORE INSERT ON record
WHEN NEW.act = 'role' AND EXISTS (SELECT 1 FROM person p WHERE p.role = 'lead')
     AND NOT EXISTS (SELECT 1 FROM person p
                     WHERE p.role = 'lead' AND p.name = NEW.by COLLATE NOCASE)
BEGIN SELECT RAISE(ABORT, 'only a lead lists people'); END;

CREATE TRIGGER the_last_lead_stays BEFORE INSERT ON record
WHEN NEW.act = 'role' AND NEW.value <> 'lead'
     AND EXISTS (SELECT 1 FROM person p
                 WHERE p.role = 'lead' AND p.name = NEW.person COLLATE NOCASE)
     AND NOT EXISTS (SELECT 1 FROM person p
                     WHERE p.role = 'lead' AND p.name <> NEW.person COLLATE NOCASE)
BEGIN SELECT RAISE(ABORT, 'the last lead stays'); END;
