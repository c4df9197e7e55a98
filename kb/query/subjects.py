"""The subjects, fields and flags of the query language: data, one line for each."""

from __future__ import annotations

from kb.documents.vocabulary import DUTIES, IN_LINE, KINDS, ROLES, UNIT_KINDS
from kb.query import field_shapes as shapes
from kb.query import gaps
from kb.query.catalogue import Field, Flag, Kind, Subject
from kb.query.field_shapes import choice, colour, counts, known, number, pins_of_feed, text

STATES = ("draft", "submitted", "returned", "verified", "superseded", "withdrawn")
LIVE = ("submitted", "verified")
OUTCOMES = ("carried", "reversed", "partial", "left out", "unknown")
EFFECTS = ("goes silent", "stays on factory feed", "moves to new amplifier", "meter first")
WHYS = (
    "no such plug",
    "no such way",
    "way empty",
    "way not documented",
    "way carries something else",
)
OWNER_KINDS = (*UNIT_KINDS, IN_LINE)
OPEN_YEAR = 9999

# Nothing is not unknown: a connector in line has no unit, a speaker that is left out no lead, an
# open span no last year.
_LAST = f"coalesce(v@.last_year, {OPEN_YEAR})"
_SPAN = (
    "iif(v@.last_year = v@.first_year, v@.first_year,"
    " v@.first_year || '-' || coalesce(v@.last_year, ''))"
)
_OUT = "nullif(o@.outcome, 'unknown')"
_EFFECT = "nullif(o@.effect, 'meter first')"
_LEAD = "iif(o@.outcome = 'unknown', o@.lead, coalesce(o@.lead, ''))"
# A speaker of two coils may hang on two leads, one of which is named.
_EACH_LEAD = "iif(o@.outcome = 'unknown', NULL, coalesce(g.lead, ''))"
_AT = _LEAD.replace("o@.lead", "o@.connector")
_EACH_AT = _EACH_LEAD.replace("g.lead", "g.connector")
_GRIPS = (
    "(SELECT 1) LEFT JOIN grip g ON g.vehicle = s@.vehicle AND g.speaker = s@.speaker"
    " AND g.path = o@.path"
)
PLUGS_IN = (
    "EXISTS (SELECT 1 FROM path y@ JOIN part a@ ON a@.kit = y@.kit AND a@.part = y@.part"
    " JOIN part_plug g@ ON g@.kit = a@.kit AND g@.part = a@.part"
    " JOIN connector d@ ON d@.vehicle = v@.vehicle AND d@.plug = g@.plug"
    " AND (a@.unit IS NULL OR a@.unit = d@.kind) WHERE y@.path = {path})"
)


def vehicle() -> Field:
    return known("vehicle", "v@.id", "id of the vehicle", "vehicle")


def state() -> Field:
    return choice("state", "v@.state", LIVE, "of the vehicle's revision", "vehicle", known=True)


_STATE_FLAGS = tuple(Flag(word, "state", word) for word in LIVE)
_ANY_KIT = known("kit", "k@.id", "id of the kit, with any kit", "kit", needs="any kit")
_OF_VEHICLE = "JOIN vehicle v@ ON v@.vehicle = {}@.vehicle"
_KIT_JOIN = "CROSS JOIN kit k@"
_TALLY_JOIN = "JOIN tally t@ ON t@.vehicle = v@.vehicle AND t@.path = {path}"

VEHICLES = Subject(
    "vehicles",
    "vehicle",
    "one make, model, year span, body and audio option",
    base="vehicle v@",
    of="vehicle",
    scope="v@.vehicle",
    answers="v@.{answers}",
    unverified="v@.state <> 'verified'",
    order=("v@.id",),
    joins={"kit": _KIT_JOIN, "tally": _TALLY_JOIN},
    takes_kit=True,
    said=("cars", "car", "models"),
    fields=(
        known("id", "v@.id", "its name in the book"),
        known("make", "v@.make", "as sold", said=("brand", "manufacturer", "maker")),
        known("model", "v@.model", "as sold", said=("name",)),
        number("first year", Kind.YEAR, "v@.first_year", "first model year", known=True),
        number("last year", Kind.YEAR, "coalesce(v@.last_year, '')", "last model year; none: open",
               tested=_LAST, order=_LAST, known=True, none=True),
        text("body", "v@.body", "as sold"),
        text("audio", "v@.audio", "the audio option as sold"),
        number("speakers", Kind.NUMBER, "v@.speakers", "how many are listed", known=True),
        _ANY_KIT,
        *gaps.none_where_unplugged(counts("kit"), PLUGS_IN),
        Field("fits", Kind.YES, PLUGS_IN, "some part of the kit's path fits a plug of it",
              known=True, needs="kit"),
        choice("state", "v@.state", LIVE, "of the revision that answers", known=True),
        number("year", Kind.YEARS, _SPAN, "year = 2022 matches a span that holds it",
               tested="v@.first_year", order="v@.first_year", also=_LAST, known=True,
               listed=False, said=("years", "model year")),
        number("sold speakers", Kind.NUMBER, "v@.sold_speakers", "how many it was sold with",
               listed=False),
        Field("text", Kind.WRITTEN, "v@.words", "all that is written; several words after ~ are"
              " one phrase: text ~ \"behind the trim\"", known=True, listed=False),
    ),
    flags=(Flag("fits", "fits", "yes"), *_STATE_FLAGS),
    parts={
        "speakers": "s@.vehicle = v^.vehicle",
        "pins": "p@.vehicle = v^.vehicle",
        "connectors": "c@.vehicle = v^.vehicle",
        "routes": "r@.vehicle = v^.vehicle",
        "panels": "n@.vehicle = v^.vehicle",
    },
    gaps={"speakers": gaps.UNLISTED_SPEAKERS, "pins": gaps.OPEN_WAYS_OF_VEHICLE},
)  # fmt: skip

SPEAKERS = Subject(
    "speakers",
    "speaker",
    "one driver at one place",
    base="speaker s@",
    of="vehicle",
    scope="s@.vehicle",
    answers="v@.{answers}",
    unverified="v@.state <> 'verified'",
    order=("v@.id", "s@.position"),
    joins={
        "vehicle": _OF_VEHICLE.format("s"),
        "kit": _KIT_JOIN,
        "outcome": "CROSS JOIN outcome o@ ON o@.vehicle = s@.vehicle AND o@.speaker = s@.speaker"
                   " AND o@.path = {path}",
        "fed": "JOIN fed_by b@ ON b@.vehicle = s@.vehicle AND b@.speaker = s@.speaker",
        "feed": "LEFT JOIN feed f@ ON f@.vehicle = s@.vehicle AND f@.speaker = s@.speaker"
                " AND f@.coil {coil f@}{lead_pins f@}",
    },
    always=("vehicle",),
    takes_kit=True,
    said=("drivers", "driver"),
    fields=(
        vehicle(),
        _ANY_KIT,
        known("speaker", "s@.speaker", "id of the speaker", said=("id", "name")),
        text("place", "s@.place", "where it sits", said=("location", "where")),
        choice("role", "s@.role", ROLES, "what it plays", known=True),
        number("ohms", Kind.OHMS, "s@.ohms", "nominal impedance",
               said=("impedance", "ohm", "resistance")),
        Field("duties", Kind.MANY, "s@.duties", "chime, emergency call, ...; none: no duty",
              choices=DUTIES, none=True),
        Field("fed by", Kind.UNIT, "b@.unit", "the unit that drives it, by id or kind",
              also="b@.kind", choices=UNIT_KINDS, joins=("fed",), said=("fed", "feed")),
        *pins_of_feed(),
        choice("outcome", "o@.outcome", OUTCOMES, "what the kit does to it", "outcome",
               tested=_OUT, unknown_word="unknown", needs="kit"),
        choice("effect", "o@.effect", EFFECTS, "what it does after the job", "outcome",
               tested=_EFFECT, unknown_word="meter first", needs="kit"),
        text("lead", _LEAD, "the kit's lead that holds it", "outcome", none=True, needs="kit",
             tested=_EACH_LEAD, each=_GRIPS, order=f"counted({_LEAD})"),
        text("lead connector", _AT, "where that lead meets it: at its unit, or in line",
             "outcome", none=True, needs="kit", tested=_EACH_AT, each=_GRIPS, listed=False),
        state(),
        text("keep", "s@.keep", "why it must stay in place", listed=False),
        number("feeds", Kind.NUMBER, shapes.FEEDS, "pairs that drive it: two for two coils;"
               " `plus = 3 and minus = 7` are of one and the same", of_pins=True, listed=False),
    ),
    flags=(
        *(Flag(word, "outcome", word) for word in OUTCOMES),
        *(Flag(word, "effect", word) for word in EFFECTS),
        Flag("verified", "state", "verified"),
        Flag("submitted", "state", "submitted"),
    ),
    parts={
        "pins": "p@.vehicle = s^.vehicle AND (p@.connector, p@.at) IN"
                " (SELECT w@.connector, w@.at FROM pole w@"
                " WHERE w@.vehicle = s^.vehicle AND w@.speaker = s^.speaker)",
    },
    gaps={"pins": gaps.OPEN_POLES},
)  # fmt: skip

PINS = Subject(
    "pins",
    "pin",
    "one way of a connector: what it carries, colour and size",
    base="pin p@",
    of="vehicle",
    scope="p@.vehicle",
    answers="v@.{answers}",
    unverified="v@.state <> 'verified'",
    order=("v@.id", "p@.connector", "p@.position"),
    joins={
        "vehicle": _OF_VEHICLE.format("p"),
        "connector": "JOIN connector c@ ON c@.vehicle = p@.vehicle"
                     " AND c@.connector = p@.connector",
    },
    always=("vehicle",),
    said=("wires", "wire", "ways", "circuits"),
    fields=(
        vehicle(),
        Field("unit", Kind.UNIT, "coalesce(c@.unit, '')", "the unit's id or kind",
              also="c@.kind", choices=OWNER_KINDS,
              joins=("connector",), known=True, none=True),
        known("connector", "p@.connector", "id of the connector",
              order="counted(p@.connector)"),
        known("plug", "c@.plug", "the family that mates with it", "connector"),
        known("at", "p@.at", "number or label of the way", order="counted(p@.at)",
              said=("pin", "way", "position")),
        Field("carries", Kind.MANY, "p@.carries", "circuits; none: an empty way",
              none=True, of_pins=True,
              said=("circuit", "circuits", "function", "signal")),
        colour("wire", shapes.PIN_WIRE, "colour, base first", none=True, of_pins=True,
               said=("colour", "color")),
        colour("base", shapes.PIN_BASE, "base colour", none=True, of_pins=True),
        colour("stripe", shapes.PIN_STRIPE, "stripe; none: a plain wire", none=True, of_pins=True),
        number("mm2", Kind.AREA, shapes.PIN_MM2, "copper area", tested="p@.mm2",
               absent=shapes.EMPTY_WAY, none=True, of_pins=True),
        number("awg", Kind.GAUGE, shapes.PIN_AWG, "gauge, where it is written so", tested="p@.mm2",
               absent=shapes.EMPTY_WAY, none=True, of_pins=True, said=("gauge",)),
        state(),
        number("size", Kind.AREA, shapes.PIN_MM2, "copper area, in awg or mm2", tested="p@.mm2",
               absent=shapes.EMPTY_WAY, none=True, of_pins=True, listed=False,
               said=("wire size", "area")),
        Field("empty", Kind.YES, f"({shapes.EMPTY_WAY})", "known to be empty: no wire in it",
              known=True, of_pins=True, listed=False),
    ),
    flags=(Flag("empty", "empty", "yes"), *_STATE_FLAGS),
    parts={
        "speakers": "s@.vehicle = p^.vehicle AND s@.speaker IN (SELECT w@.speaker FROM pole w@"
                    " WHERE w@.vehicle = p^.vehicle AND w@.connector = p^.connector"
                    " AND w@.at = p^.at)",
    },
    gaps={"speakers": gaps.SPEAKERS_ON_UNTOLD},
)  # fmt: skip

CONNECTORS = Subject(
    "connectors",
    "connector",
    "a plug face on a unit, or in line",
    base="connector c@",
    of="vehicle",
    scope="c@.vehicle",
    answers="v@.{answers}",
    unverified="v@.state <> 'verified'",
    order=("v@.id", "c@.connector"),
    joins={"vehicle": _OF_VEHICLE.format("c")},
    always=("vehicle",),
    said=("plugs", "plug"),
    fields=(
        vehicle(),
        known("connector", "c@.connector", "id of the connector", said=("id", "name"),
              order="counted(c@.connector)"),
        Field("unit", Kind.UNIT, "coalesce(c@.unit, '')", "the unit's id or kind",
              also="c@.kind", choices=OWNER_KINDS, known=True, none=True),
        known("plug", "c@.plug", "the family that mates with it"),
        number("ways", Kind.NUMBER, "c@.ways", "how many it has"),
        text("place", "c@.place", "where it is"),
        choice("state", "v@.state", LIVE, "of the vehicle's revision", "vehicle", known=True,
               listed=False),
    ),
    flags=_STATE_FLAGS,
    parts={"pins": "p@.vehicle = c^.vehicle AND p@.connector = c^.connector"},
    gaps={"pins": gaps.OPEN_WAYS},
)  # fmt: skip

LEADS = Subject(
    "leads",
    "lead",
    "one numbered pair of a kit's part",
    base="lead l@",
    of="kit",
    scope="l@.kit",
    answers="k@.{answers}",
    unverified="k@.state <> 'verified'",
    order=("k@.id", "l@.position"),
    joins={
        "kit": "JOIN kit k@ ON k@.kit = l@.kit",
        "path": "JOIN path x@ ON x@.path = {path} AND x@.kit = l@.kit AND x@.part = l@.part",
        "vehicle": "CROSS JOIN vehicle v@",
        "idle": "LEFT JOIN idle_lead i@ ON i@.vehicle = v.vehicle AND i@.path = x@.path"
                " AND i@.part = l@.part AND i@.lead = l@.lead",
    },
    always=("kit",),
    takes_kit=True,
    takes_vehicle=True,
    said=("parts", "part", "harness", "harnesses"),
    fields=(
        known("vehicle", "v@.id", "id of the vehicle", "vehicle", needs="several vehicles"),
        known("kit", "k@.id", "id of the kit", "kit"),
        known("part", "l@.part", "id of the part"),
        known("lead", "l@.lead", "its mark on the part", order="counted(l@.lead)"),
        known("plug", "l@.plug", "the family that the part mates with"),
        known("plus", "l@.plus", "way of its plus", order="counted(l@.plus)"),
        known("minus", "l@.minus", "way of its minus", order="counted(l@.minus)"),
        colour("wire", "l@.wire", "its colour"),
        text("meant for", "l@.meant_for", "as the maker says"),
        Field("idle", Kind.YES, "i@.lead IS NOT NULL", "no speaker on its ways in this vehicle",
              joins=("path", "idle"), known=True, needs="vehicle"),
        choice("why", "coalesce(i@.why, '')", WHYS, "why it is idle", "path", "idle",
               known=True, none=True, needs="vehicle"),
    ),
    flags=(Flag("idle", "idle", "yes"),),
)  # fmt: skip

KITS = Subject(
    "kits",
    "kit",
    "an integration product: a module and its parts",
    base="kit k@",
    of="kit",
    scope="k@.kit",
    answers="k@.{answers}",
    unverified="k@.state <> 'verified'",
    order=("k@.id",),
    joins={"vehicle": "CROSS JOIN vehicle v@", "tally": _TALLY_JOIN},
    takes_vehicle=True,
    said=("modules", "module", "products"),
    fields=(
        known("vehicle", "v@.id", "id of the vehicle", "vehicle", needs="several vehicles"),
        known("kit", "k@.id", "id of the kit", said=("id",)),
        known("maker", "k@.maker", "who makes it", said=("brand", "make", "manufacturer")),
        known("name", "k@.name", "as sold"),
        number("line outputs", Kind.NUMBER, "k@.line_outputs", "how many"),
        *gaps.none_where_unplugged(counts("vehicle"), PLUGS_IN),
        Field("fits", Kind.YES, PLUGS_IN, "some part of its path fits a plug of the vehicle",
              known=True, needs="vehicle"),
        choice("state", "k@.state", LIVE, "of the revision that answers", known=True,
               listed=False),
    ),
    flags=(Flag("fits", "fits", "yes"), *_STATE_FLAGS),
    parts={
        "leads": "l@.kit = k^.kit{of_path l@}",
        "speakers": "s@.vehicle = v^.vehicle",
    },
    gaps={"speakers": gaps.UNLISTED_SPEAKERS},
)  # fmt: skip

ENTRIES = Subject(
    "entries",
    "entry",
    "a revision of a document, in any state",
    base="entry e@",
    of="entry",
    scope="e@.id",
    answers="",
    unverified="e@.state <> 'verified'",
    order=("e@.submitted", "e@.hash"),
    said=("jobs", "job", "amplifiers", "revisions", "documents"),
    fields=(
        choice("kind", "e@.kind", KINDS, "of document", known=True),
        known("id", "e@.id", "its name in the book"),
        known("revision", "e@.hash", "the revision's hash, its name everywhere; 8 letters do",
              begins=8),
        choice("state", "e@.state", STATES, "where it stands in review", known=True),
        known("author", "e@.author", "who wrote it"),
        known("origin", "e@.origin", "the shop that it comes from"),
        number("submitted", Kind.TIME, shapes.SUBMITTED, "when, UTC; none: never", known=True,
               tested="e@.submitted", absent=shapes.NEVER_SUBMITTED, none=True),
        number("disputes", Kind.NUMBER, "e@.disputes", "pins of a vehicle that another"
               " revision tells otherwise", known=True),
        number("measured", Kind.NUMBER, "e@.measured", "pins with a measurement", known=True),
    ),
    flags=tuple(Flag(word, "state", word) for word in STATES),
)  # fmt: skip

ROUTES = Subject(
    "routes",
    "route",
    "a stretch of a vehicle that wire can follow",
    base="route r@",
    of="vehicle",
    scope="r@.vehicle",
    answers="v@.{answers}",
    unverified="v@.state <> 'verified'",
    order=("v@.id", "r@.position"),
    joins={"vehicle": _OF_VEHICLE.format("r")},
    always=("vehicle",),
    fields=(
        vehicle(),
        known("from", "r@.place_a", "one end"),
        known("to", "r@.place_b", "the other end"),
        number("metres", Kind.LENGTH, "r@.metres", "its length", said=("length", "distance")),
        text("note", "r@.note", "as written"),
    ),
)  # fmt: skip

PANELS = Subject(
    "panels",
    "panel",
    "a piece of trim that comes off",
    base="panel n@",
    of="vehicle",
    scope="n@.vehicle",
    answers="v@.{answers}",
    unverified="v@.state <> 'verified'",
    order=("v@.id", "n@.panel"),
    joins={"vehicle": _OF_VEHICLE.format("n")},
    always=("vehicle",),
    fields=(
        vehicle(),
        known("panel", "n@.panel", "id of the panel"),
        number("minutes", Kind.MINUTES, "n@.minutes", "to take off and refit", said=("time",)),
    ),
)  # fmt: skip

SUBJECTS = (VEHICLES, SPEAKERS, PINS, CONNECTORS, LEADS, KITS, ENTRIES, ROUTES, PANELS)
SUBJECTS_BY_WORD = {word: s for s in SUBJECTS for word in (s.name, s.singular)}
