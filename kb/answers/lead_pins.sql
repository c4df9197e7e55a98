-- Which pins to show for a feed of which a pole is on several ways of its unit: those under the
-- lead that is named for it. `feed` holds the first way in the document's order, which is shown
-- where no lead holds the pole; every other feed has one way for each pole and no row here.
--
-- WITH members that stand behind those of outcomes.sql.

feed_lead (vehicle, path, speaker, coil, part, lead, connector, fit, best) AS (
    SELECT vehicle, path, speaker, coil, part, lead, connector, fit, min(rank)
    FROM ranked GROUP BY vehicle, path, speaker, coil
),

-- Plus under the lead's plus and minus under its minus, but for a swapped hold; a short one may have
-- a pole under either side.
under_lead (vehicle, path, speaker, coil, connector, plus, minus) AS (
    SELECT g.vehicle, g.path, g.speaker, g.coil, g.connector,
           coalesce(max(iif(o.pole = '+' AND (o.at = l.plus) = (g.fit <> 'swapped'), o.at, NULL)),
                    max(iif(o.pole = '+', o.at, NULL))),
           coalesce(max(iif(o.pole = '-' AND (o.at = l.minus) = (g.fit <> 'swapped'), o.at, NULL)),
                    max(iif(o.pole = '-', o.at, NULL)))
    FROM scope
    CROSS JOIN feed f ON f.vehicle = scope.vehicle AND f.doubled = 1
    CROSS JOIN feed_lead g ON g.vehicle = f.vehicle AND g.speaker = f.speaker AND g.coil = f.coil
    CROSS JOIN path x ON x.path = g.path AND x.part = g.part
    CROSS JOIN lead l ON l.kit = x.kit AND l.part = g.part AND l.lead = g.lead
    CROSS JOIN pole o ON o.vehicle = g.vehicle AND o.connector = g.connector
                     AND o.at IN (l.plus, l.minus) AND o.speaker = g.speaker AND o.coil = g.coil
                     AND o.unit IS NOT NULL
    GROUP BY g.vehicle, g.path, g.speaker, g.coil
),

lead_pins (vehicle, path, speaker, coil,
           plus_connector, plus, plus_wire, minus_connector, minus, minus_wire) AS MATERIALIZED (
    SELECT u.vehicle, u.path, u.speaker, u.coil,
           p.connector, p.at, p.wire, m.connector, m.at, m.wire
    FROM under_lead u
    LEFT JOIN pin p ON p.vehicle = u.vehicle AND p.connector = u.connector AND p.at = u.plus
    LEFT JOIN pin m ON m.vehicle = u.vehicle AND m.connector = u.connector AND m.at = u.minus
)
