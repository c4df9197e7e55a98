-- What each path does to each speaker. The one place where this is decided: `runs`, `ask`, the
-- plan, the browser and the sheets all run this text, for one vehicle or for all of them.
--
-- A chain of WITH members. The caller puts two before it:
--     scope(vehicle)            the vehicles asked about, by revision number
--     path(path, kit, part)     the parts that each path uses; `path` is any number of the caller's
--                               and stands for one kit with one choice of its parts
-- and reads two at its end:
--     outcome(vehicle, path, kit, speaker, outcome, effect, part, lead, connector, coil)
--     idle_lead(vehicle, path, kit, part, lead, why, connector)

-- Where the parts go in: a part mates with a connector of its plug family, at a unit of its kind
-- (or in line) where it names one. CROSS JOIN keeps this order: few vehicles first, then leads.
landing (vehicle, path, kit, part, lead, lead_position, connector, plus, minus, opens)
AS MATERIALIZED (
    SELECT c.vehicle, x.path, l.kit, l.part, l.lead, l.position, c.connector, l.plus, l.minus,
           p.intercepts = 1 AND c.unit IS NULL
    FROM scope
    CROSS JOIN connector c ON c.vehicle = scope.vehicle
    CROSS JOIN lead l ON l.plug = c.plug
    CROSS JOIN part p ON p.kit = l.kit AND p.part = l.part
                     AND (p.unit IS NULL OR p.unit = c.kind)
    CROSS JOIN path x ON x.kit = l.kit AND x.part = l.part
),

-- The speaker poles under each side of each lead.
touch (vehicle, path, speaker, coil, part, lead, lead_position, connector, opens, side, pole) AS (
    SELECT g.vehicle, g.path, o.speaker, o.coil, g.part, g.lead, g.lead_position, g.connector,
           g.opens, '+', o.pole
    FROM landing g CROSS JOIN pole o
      ON o.vehicle = g.vehicle AND o.connector = g.connector AND o.at = g.plus
    UNION ALL
    SELECT g.vehicle, g.path, o.speaker, o.coil, g.part, g.lead, g.lead_position, g.connector,
           g.opens, '-', o.pole
    FROM landing g CROSS JOIN pole o
      ON o.vehicle = g.vehicle AND o.connector = g.connector AND o.at = g.minus
),

-- How one lead holds one feed: plus on plus, the two swapped, or something less than both poles.
grip (vehicle, path, speaker, coil, part, lead, lead_position, connector, opens, fit)
AS MATERIALIZED (
    SELECT vehicle, path, speaker, coil, part, lead, min(lead_position), connector, max(opens),
           CASE WHEN sum(side = '+' AND pole = '+') AND sum(side = '-' AND pole = '-')
                    THEN 'straight'
                WHEN sum(side = '+' AND pole = '-') AND sum(side = '-' AND pole = '+')
                    THEN 'swapped'
                ELSE 'short' END
    FROM touch
    GROUP BY vehicle, path, speaker, coil, part, lead, connector
),

-- How the chosen parts hold one feed, all leads together.
held (vehicle, path, speaker, coil, straight, swapped) AS (
    SELECT vehicle, path, speaker, coil, max(fit = 'straight'), max(fit = 'swapped')
    FROM grip
    GROUP BY vehicle, path, speaker, coil
),

-- Which hold on a feed is named first: a swapped one, for it must not be overlooked and is the one to
-- be turned round; then one of a part that opens the wire in line, for what feeds the wire before
-- that plug no longer comes to the speaker; then the first lead of the kit.
ranked (vehicle, path, speaker, coil, part, lead, connector, fit, rank) AS (
    SELECT vehicle, path, speaker, coil, part, lead, connector, fit,
           CASE fit WHEN 'swapped' THEN 0 WHEN 'straight' THEN iif(opens, 1, 2) ELSE 3 END
           || printf('%06d', lead_position) || connector
    FROM grip
),

-- The lead to name for a speaker, and its feed: a swapped hold of any feed, then the first feed's.
named_lead (vehicle, path, speaker, part, lead, connector, coil, best) AS (
    SELECT vehicle, path, speaker, part, lead, connector, coil,
           min((fit <> 'swapped') || coil || rank)
    FROM ranked
    GROUP BY vehicle, path, speaker
),

taken (path, kit) AS (SELECT DISTINCT path, kit FROM path),

decided (vehicle, path, kit, speaker, kind, outcome) AS (
    SELECT b.vehicle, k.path, k.kit, b.speaker, b.kind,
           CASE WHEN b.documented = 0 THEN 'unknown'
                WHEN h.feeds IS NULL THEN 'left out'
                WHEN h.feeds < (SELECT count(*) FROM feed f
                                WHERE f.vehicle = b.vehicle AND f.speaker = b.speaker)
                     THEN 'partial'
                WHEN h.swapped THEN 'reversed'
                ELSE 'carried' END
    FROM scope
    CROSS JOIN taken k
    CROSS JOIN fed_by b ON b.vehicle = scope.vehicle
    LEFT JOIN (SELECT vehicle, path, speaker, sum(straight OR swapped) AS feeds,
                      max(swapped) AS swapped
               FROM held GROUP BY vehicle, path, speaker) h
      ON h.vehicle = b.vehicle AND h.path = k.path AND h.speaker = b.speaker
),

outcome (vehicle, path, kit, speaker, outcome, effect, part, lead, connector, coil) AS (
    SELECT d.vehicle, d.path, d.kit, d.speaker, d.outcome,
           CASE WHEN d.outcome = 'unknown' THEN 'meter first'
                WHEN d.outcome IN ('carried', 'reversed') THEN 'moves to new amplifier'
                WHEN EXISTS (SELECT 1 FROM takes_out t WHERE t.kit = d.kit AND t.kind = d.kind)
                     THEN 'goes silent'
                ELSE 'stays on factory feed' END,
           n.part, n.lead, n.connector, n.coil
    FROM decided d
    LEFT JOIN named_lead n
      ON n.vehicle = d.vehicle AND n.path = d.path AND n.speaker = d.speaker
     AND d.outcome <> 'unknown'        -- what a lead holds of it is no answer
)
,

-- Leads of the chosen parts on whose ways this vehicle has no speaker, and why.
idle_lead (vehicle, path, kit, part, lead, why, connector) AS (
    SELECT scope.vehicle, x.path, l.kit, l.part, l.lead,
           CASE max(CASE WHEN g.connector IS NULL THEN 0
                         WHEN p.carries <> '' OR m.carries <> '' THEN 4
                         WHEN c.ways < max(iif(g.plus GLOB '*[^0-9]*', 0, CAST(g.plus AS INTEGER)),
                                           iif(g.minus GLOB '*[^0-9]*', 0,
                                               CAST(g.minus AS INTEGER))) THEN 3
                         WHEN p.carries IS NULL OR m.carries IS NULL THEN 2
                         ELSE 1 END)
               WHEN 0 THEN 'no such plug' WHEN 1 THEN 'way empty'
               WHEN 2 THEN 'way not documented' WHEN 3 THEN 'no such way'
               ELSE 'way carries something else' END,
           g.connector
    FROM scope
    CROSS JOIN path x
    CROSS JOIN lead l ON l.kit = x.kit AND l.part = x.part
    LEFT JOIN landing g ON g.vehicle = scope.vehicle AND g.path = x.path AND g.kit = l.kit
                       AND g.part = l.part AND g.lead = l.lead
    LEFT JOIN connector c ON c.vehicle = g.vehicle AND c.connector = g.connector
    LEFT JOIN pin p ON p.vehicle = g.vehicle AND p.connector = g.connector AND p.at = g.plus
    LEFT JOIN pin m ON m.vehicle = g.vehicle AND m.connector = g.connector AND m.at = g.minus
    WHERE NOT EXISTS (SELECT 1 FROM grip t
                      WHERE t.vehicle = scope.vehicle AND t.path = x.path
                        AND t.part = l.part AND t.lead = l.lead)
    GROUP BY scope.vehicle, x.path, l.kit, l.part, l.lead
)
