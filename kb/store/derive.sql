-- What the pin tables imply, for the vehicles whose numbers are in temp.deriving.
-- A speaker is fed by the unit that owns its pins. Where nobody documented a pin, or two units own
-- some, the feeding unit is unknown, and nothing here guesses it.

INSERT INTO feed (vehicle, speaker, coil)
SELECT s.vehicle, s.speaker, c.coil
FROM temp.deriving d
JOIN speaker s USING (vehicle)
JOIN (SELECT '' AS coil UNION ALL SELECT 'a' UNION ALL SELECT 'b') c
  -- A dual-coil speaker has two feeds as soon as one pole of either coil is documented.
  ON (c.coil <> '') = EXISTS (SELECT 1 FROM pole p
                              WHERE p.vehicle = s.vehicle AND p.speaker = s.speaker
                                AND p.coil <> '');

INSERT INTO fed_by (vehicle, speaker, units, unit, kind, documented)
SELECT o.vehicle, o.speaker, o.units, u.unit, u.kind,
       -- Both poles of every feed, at that one unit.
       u.unit IS NOT NULL AND o.poles = 2 * (SELECT count(*) FROM feed f
                                             WHERE f.vehicle = o.vehicle AND f.speaker = o.speaker)
FROM (SELECT s.vehicle, s.speaker, count(DISTINCT p.unit) AS units, min(p.unit) AS unit,
             count(DISTINCT p.coil || p.pole) AS poles
      FROM temp.deriving d
      JOIN speaker s USING (vehicle)
      LEFT JOIN pole p ON p.vehicle = s.vehicle AND p.speaker = s.speaker AND p.unit IS NOT NULL
      GROUP BY s.vehicle, s.speaker) o
LEFT JOIN unit u ON u.vehicle = o.vehicle AND u.unit = o.unit AND o.units = 1;

-- The first pin of each pole at its unit, connector by connector and as people count.
UPDATE feed
SET unit = (SELECT b.unit FROM fed_by b WHERE b.vehicle = feed.vehicle AND b.speaker = feed.speaker)
WHERE vehicle IN (SELECT vehicle FROM temp.deriving);

UPDATE feed
SET (plus_connector, plus, plus_wire) = (
        SELECT p.connector, p.at, n.wire FROM pole p JOIN pin n USING (vehicle, connector, at)
        WHERE p.vehicle = feed.vehicle AND p.speaker = feed.speaker AND p.coil = feed.coil
          AND p.pole = '+' AND p.unit = feed.unit
        ORDER BY p.position LIMIT 1),
    (minus_connector, minus, minus_wire) = (
        SELECT p.connector, p.at, n.wire FROM pole p JOIN pin n USING (vehicle, connector, at)
        WHERE p.vehicle = feed.vehicle AND p.speaker = feed.speaker AND p.coil = feed.coil
          AND p.pole = '-' AND p.unit = feed.unit
        ORDER BY p.position LIMIT 1)
WHERE vehicle IN (SELECT vehicle FROM temp.deriving);

UPDATE feed SET doubled = 1
WHERE vehicle IN (SELECT vehicle FROM temp.deriving) AND EXISTS (
    SELECT 1 FROM pole p
    WHERE p.vehicle = feed.vehicle AND p.speaker = feed.speaker AND p.coil = feed.coil
      AND p.unit = feed.unit
    GROUP BY p.pole HAVING count(*) > 1);
