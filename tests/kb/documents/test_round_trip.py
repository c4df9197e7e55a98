"""Any vehicle that can be written gives the same canonical text and hash from TOML and from
JSON."""

from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from kb.documents import vocabulary
from kb.documents.canonical import canonical_json, content_hash
from kb.documents.colours import LETTERS
from kb.documents.reading import Source, read_documents
from tests.small_documents import Content, as_json, as_toml, small_vehicle

codes = st.sampled_from([code for code in LETTERS if code != "GNYE"])
names = st.text(
    st.characters(codec="utf-8", categories=["L", "N", "P", "S"]), min_size=1, max_size=12
)
wires = st.one_of(
    codes,
    st.tuples(codes, codes).filter(lambda pair: pair[0] != pair[1]).map("/".join),
    st.sampled_from(["GNYE", "grey/black", "purple", "gypk"]),
)
measures = st.one_of(st.integers(1, 900), st.floats(0.001, 900), st.integers(1, 90).map(float))


@st.composite
def vehicles(draw: st.DrawFn) -> Content:
    """Speakers with both poles on one connector, in any order, with any optional keys."""
    speakers = draw(st.lists(st.from_regex(r"[a-z]{1,6}", fullmatch=True), unique=True, max_size=5))
    speakers = [f"s-{name}" for name in speakers]
    circuits = [f"{name}{pole}" for name in speakers for pole in "+-"]
    ways = draw(
        st.lists(
            st.integers(1, 40).map(str) | st.from_regex(r"[A-F][1-9]", fullmatch=True),
            unique=True,
            min_size=len(circuits),
            max_size=len(circuits),
        )
    )
    pins = []
    for at, circuit in zip(ways, draw(st.permutations(circuits)), strict=True):
        sizes: list[Content] = [{}, {"mm2": draw(measures)}, {"awg": 16}, {"awg": "2/0"}]
        size = draw(st.sampled_from(sizes))
        pins.append({"at": at, "carries": circuit, "wire": draw(wires), **size})
    vehicle = small_vehicle(make=draw(names), sold_speakers=len(speakers))
    vehicle["speaker"] = [
        {"id": name, "role": draw(st.sampled_from(vocabulary.ROLES)), "ohms": draw(measures)}
        for name in speakers
    ]
    plug = {"id": "X1", "unit": "amp", "plug": draw(names), "ways": 40, "pins": pins}
    vehicle["connector"] = [plug]
    vehicle["evidence"] = [{"of": [f"X1.{at}" for at in ways], "method": "meter"}] if ways else []
    return vehicle


@settings(max_examples=60, deadline=None)
@given(vehicles())
def test_toml_json_and_canonical_text_are_one_document(vehicle: Content) -> None:
    sources = [Source("v.toml", as_toml(vehicle)), Source("v.json", as_json(vehicle))]
    readings = [read_documents([source]) for source in sources]
    assert [reading.findings for reading in readings] == [[], []]
    toml, json = (canonical_json(reading.documents[0].content) for reading in readings)
    assert toml == json
    again = read_documents([Source("again", toml.encode(), "json")])
    assert again.findings == []
    assert content_hash(canonical_json(again.documents[0].content)) == content_hash(toml)


@settings(max_examples=30, deadline=None)
@given(vehicles(), st.randoms())
def test_the_order_of_keys_does_not_matter(vehicle: Content, random: Random) -> None:
    keys = list(vehicle)
    random.shuffle(keys)
    turned = {key: vehicle[key] for key in keys}
    turned["vehicle"] = dict(reversed(vehicle["vehicle"].items()))
    assert canonical_json(turned) == canonical_json(vehicle)
