"""Every rule of the documents: a broken document, the line that is named, and the sentence.

Each line of `mistakes.txt` changes one place of a small valid document. The finding must stand on
the changed line (or, where a key was taken out, at its table), and say what is wrong and what would
be right."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from kb.documents.product_rules import lead_findings
from kb.documents.reading import Finding, Source, read_documents
from tests.small_documents import (
    Content,
    as_json,
    as_toml,
    small_amplifier,
    small_job,
    small_kit,
    small_vehicle,
)

SMALL = {
    "vehicle": small_vehicle,
    "kit": small_kit,
    "amplifier": small_amplifier,
    "job": small_job,
}


@dataclass(frozen=True)
class Mistake:
    """`old` becomes `new` in a valid document; the finding stands where `stands` is written."""

    level: str
    kind: str
    old: str
    new: str
    table: str
    what: str
    right: str
    stands: str

    def text(self) -> str:
        text = as_toml(SMALL[self.kind]()).decode()
        assert text.count(self.old) >= 1, "the mistake changes nothing"
        return text.replace(self.old, self.new, 1)

    def line(self) -> int:
        """The line where the finding must stand, from 1; for a missing key its table's heading."""
        lines = self.text().split("\n")
        if self.stands:
            return next(number for number, line in enumerate(lines, 1) if self.stands in line)
        before = as_toml(SMALL[self.kind]()).decode().partition(self.old)[0]
        changed = before.count("\n") + 1 + self.new.count("\n")
        if self.new:
            return changed
        return max(number for number in range(1, changed) if lines[number - 1].startswith("["))


def mistakes() -> list[Mistake]:
    found = []
    catalogue = (Path(__file__).parent / "mistakes.txt").read_text(encoding="utf-8")
    for line in catalogue.splitlines():
        if line and not line.startswith("#"):
            columns = [column.replace("⏎", "\n") for column in line.split(" | ")]
            found.append(Mistake(*columns, *[""] * (8 - len(columns))))
    return found


MISTAKES = mistakes()


@pytest.mark.parametrize("small", SMALL.values(), ids=SMALL)
def test_the_documents_before_the_change_are_right(small: Callable[[], Content]) -> None:
    assert read_documents([Source("small.toml", as_toml(small()))]).findings == []


def test_the_catalogue_is_read_whole() -> None:
    assert len(MISTAKES) > 110
    assert len({(mistake.kind, mistake.old, mistake.new) for mistake in MISTAKES}) == len(MISTAKES)


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: f"{mistake.kind}: {mistake.new}")
def test_a_mistake_is_named_with_its_line(mistake: Mistake) -> None:
    reading = read_documents([Source("small.toml", mistake.text().encode())])
    matching = [found for found in reading.findings if mistake.what in found.what]
    assert matching, [found.sentence for found in reading.findings]
    finding = matching[0]
    assert mistake.right in finding.right
    assert (finding.level, finding.table) == (mistake.level, mistake.table)
    assert finding.line == mistake.line(), finding.sentence
    assert bool(reading.documents) == (mistake.level == "warning" and not reading.errors)
    for other in reading.findings:
        assert_plain(other)


def assert_plain(finding: Finding) -> None:
    """No parser's or library's own words, one line, and something that would be right."""
    sentence = finding.sentence
    assert "\n" not in sentence
    assert finding.right
    assert sentence.isprintable()
    for word in (
        "pydantic",
        "Input should",
        "validation",
        "value_error",
        "NoneType",
        "dict",
        "tomllib",
    ):
        assert word not in sentence


def test_a_kit_may_list_no_more_outputs_than_it_has() -> None:
    kit = small_kit(line_outputs=1)
    kit["output"].append({"id": "2", "carries": "front-right"})
    [finding] = read_documents([Source("k.toml", as_toml(kit))]).findings
    assert finding.what == "2 outputs are listed and the kit has 1"
    assert finding.table == "output 2"


def test_a_product_without_its_rows_is_doubtful() -> None:
    kit, amplifier = small_kit(), small_amplifier()
    del kit["part"], amplifier["channel"]
    reading = read_documents([Source("k", as_toml(kit)), Source("a", as_toml(amplifier))])
    assert [found.what for found in reading.warnings] == [
        "the kit has no part",
        "it has no channel",
    ]
    assert len(reading.documents) == 2


def test_plugs_on_units_of_one_kind() -> None:
    vehicle = small_vehicle()
    vehicle["connector"][1].update(plug="HT-20")
    assert read_documents([Source("v", as_toml(vehicle))]).findings == []  # another kind of unit
    vehicle["connector"][1].update(unit="amp")
    [finding] = read_documents([Source("v", as_toml(vehicle))]).errors
    assert finding.what == 'connectors A1 and R1 on units of kind amplifier share the plug "HT-20"'


def test_in_line_connectors_that_share_a_plug_are_only_doubtful() -> None:
    vehicle = small_vehicle()
    vehicle["connector"] += [
        {"id": name, "plug": "HI-4", "ways": 4, "place": "sill-left", "panels": ["facia"]}
        for name in ("I1", "I2")
    ]
    reading = read_documents([Source("v", as_toml(vehicle))])
    assert len(reading.documents) == 1
    assert [found.what for found in reading.warnings] == [
        'in-line connectors I1 and I2 share the plug "HI-4"'
    ]


def test_a_pole_without_its_partner_and_a_speaker_on_two_units_are_doubtful() -> None:
    vehicle = small_vehicle()
    del vehicle["connector"][0]["pins"][1]
    vehicle["connector"][1]["pins"].append({"at": "1", "carries": "sub.a+"})
    reading = read_documents([Source("v", as_toml(vehicle))])
    assert [found.what for found in reading.warnings] == [
        '"door-l+" is documented and "door-l-" is not',
        'units amp and radio both claim speaker "sub"',
    ]


def test_two_coils_on_one_way_are_only_doubtful() -> None:
    vehicle = small_vehicle()
    pins = vehicle["connector"][0]["pins"]
    pins[3]["carries"] = ["sub.a-", "sub.b+"]
    pins.append({"at": "16", "carries": "sub.b-"})
    [finding] = read_documents([Source("v", as_toml(vehicle))]).findings
    assert (finding.level, finding.what) == ("warning", 'one way carries "sub.a-" and "sub.b+"')


def test_the_same_number_written_two_ways_is_doubtful() -> None:
    vehicle = small_vehicle()
    vehicle["connector"][0]["pins"].append({"at": "003"})
    [finding] = read_documents([Source("v", as_toml(vehicle))]).findings
    assert (finding.level, finding.what) == ("warning", 'ways "3" and "003" are the same number')


def test_a_route_listed_twice_is_doubtful() -> None:
    vehicle = small_vehicle()
    route = vehicle["route"][0]
    vehicle["route"].append({**route, "from": route["to"], "to": route["from"]})
    vehicle["route"].append({**route, "panels": []})
    [finding] = read_documents([Source("v", as_toml(vehicle))]).findings
    assert finding.what == 'the route between "dash-centre" and "seat-left" stands twice'
    assert finding.table == "route dash-centre to seat-left"


def test_a_panel_without_its_table_is_doubtful_once() -> None:
    vehicle = small_vehicle()
    vehicle["speaker"][0]["panels"] = ["facla"]
    vehicle["speaker"][1]["panels"] = ["facla"]
    [finding] = read_documents([Source("v", as_toml(vehicle))]).findings
    assert finding.level == "warning"
    assert finding.what == 'panel "facla" has no [[panel]] table, so its minutes are unknown'
    assert 'nearest is "facia"' in finding.right


def test_an_unreadable_id_makes_nothing_else_missing() -> None:
    vehicle = small_vehicle()
    vehicle["unit"][1]["id"] = 5
    vehicle["speaker"][0]["id"] = ["door-l"]
    vehicle["connector"][0]["id"] = True
    findings = read_documents([Source("v", as_json(vehicle))]).findings
    assert [found.what.partition(":")[0] for found in findings] == ["id", "id", "id"]


def test_evidence_of_kits_and_amplifiers() -> None:
    kit, amplifier = small_kit(), small_amplifier()
    kit["evidence"] = [{"of": ["main", "main.A", "main.B"], "method": "meter"}]
    amplifier["evidence"] = [{"of": ["1", "3"], "method": "scope"}]
    reading = read_documents([Source("k", as_toml(kit)), Source("a", as_toml(amplifier))])
    assert [found.what for found in reading.findings] == [
        'part or lead "main.B" does not exist here',
        'channel "3" does not exist here',
    ]


def test_leads_beyond_the_ways_of_a_vehicles_connector() -> None:
    kit, vehicle = small_kit(), small_vehicle()
    assert lead_findings(kit, vehicle) == []
    kit["part"][0]["leads"][0].update(plus="21", minus="B9")
    kit["part"][1]["leads"][0].update(minus="29")
    found = lead_findings(kit, vehicle)
    assert [(finding.table, finding.what) for finding in found] == [
        ("part main, lead A", 'plus is way "21", and connector A1 has 20 ways'),
        ("part radio-28, lead J", 'minus is way "29", and connector R1 has 28 ways'),
    ]
    assert {finding.level for finding in found} == {"warning"}
    kit["part"][0]["unit"] = "in-line"  # mates with none of them
    assert len(lead_findings(kit, vehicle)) == 1
