"""What the tables of a kit, an amplifier and a job must agree on, and a kit's leads on a vehicle.

It stands alone from the shapes because these rules compare tables, and speak even where one is
broken."""

from collections.abc import Iterator, Mapping

from kb.documents import vocabulary
from kb.documents.evidence_rules import evidence_problems
from kb.documents.findings import Finding, Path, Problem
from kb.documents.positions import position_number
from kb.documents.rows import Row, head, known, missing, repeated_ids, top_rows
from kb.documents.table_names import table_name


def kit_problems(content: Mapping[str, object]) -> Iterator[Problem]:
    """All findings of one kit that no single table shows."""
    parts, outputs = top_rows(content, "part"), top_rows(content, "output")
    yield from repeated_ids(parts, "part")
    yield from repeated_ids(outputs, "output")
    yield from repeated_ids(top_rows(content, "setting"), "setting")
    if not parts:
        yield Problem(
            ("kit",), "the kit has no part", "write [[part]] with its plugs and leads", "warning"
        )
    line_outputs = head(content, "kit").whole("line_outputs")
    if line_outputs is not None and len(outputs) > line_outputs:
        yield Problem(
            ("output", line_outputs),
            f"{len(outputs)} outputs are listed and the kit has {line_outputs}",
            "mend `line_outputs` or take the others out",
        )
    for part in parts:
        yield from _leads(part)
    yield from evidence_problems(content, _kit_names(parts), "part or lead")


def _leads(part: Row) -> Iterator[Problem]:
    leads = part.rows("leads")
    yield from repeated_ids(leads, "lead", "lead")
    plugs = {plug for _, plug in part.texts("plugs")}
    used: dict[tuple[str, str], str] = {}
    for lead in leads:
        plug, name = lead.text("plug"), lead.text("lead") or "without name"
        if plug is not None and plugs and plug not in plugs:
            yield missing(lead.at("plug"), "this part's plug", plug, plugs)
        plus, minus = lead.position("plus"), lead.position("minus")
        if plus is not None and plus == minus:
            yield Problem(
                lead.at("minus"),
                f'plus and minus are the same way "{plus}"',
                "each has its own way",
            )
        for key, way in (("plus", plus), ("minus", minus)):
            if plug is None or way is None:
                continue
            other = used.setdefault((plug, way), name)
            if other != name:
                yield Problem(
                    lead.at(key),
                    f'leads {other} and {name} both use way "{way}" of plug "{plug}"',
                    "check it: two outputs on one wire destroy each other",
                    "warning",
                )


def _kit_names(parts: list[Row]) -> set[str] | None:
    names = known(parts)
    if names is None:
        return None
    leads = {
        f"{part.text('id')}.{lead.text('lead')}" for part in parts for lead in part.rows("leads")
    }
    return names | leads


def amplifier_problems(content: Mapping[str, object]) -> Iterator[Problem]:
    """All findings of one amplifier that no single table shows."""
    channels = top_rows(content, "channel")
    yield from repeated_ids(channels, "channel")
    yield from repeated_ids(top_rows(content, "setting"), "setting")
    if not channels:
        yield Problem(
            ("amplifier",), "it has no channel", "write [[channel]] with its watts", "warning"
        )
    yield from evidence_problems(content, known(channels), "channel")


def job_problems(content: Mapping[str, object]) -> Iterator[Problem]:
    """All findings of one job that no single table shows."""
    drives = top_rows(content, "drive")
    yield from repeated_ids(drives, "channel", "channel")
    yield from repeated_ids(top_rows(content, "fitted"), "fitted speaker", "speaker")
    silent = {speaker for _, speaker in head(content, "job").texts("silent")}
    driven: dict[str, str] = {}
    for drive in drives:
        channel = drive.text("channel") or "without name"
        speakers = drive.texts("speakers")
        if len(speakers) > 1 and "wiring" not in drive.values:
            yield Problem(
                drive.at("speakers"),
                "several speakers on one channel lack their wiring",
                'write wiring = "parallel" or "series"',
            )
        for path, speaker in speakers:
            yield from _driven(path, speaker, channel, driven, silent)
    for fitted in top_rows(content, "fitted"):
        if not {"ohms", "watts", "blocks_below_hz"} & set(fitted.values):
            yield Problem(
                fitted.path,
                "nothing is said of what was fitted",
                "write its ohms, watts or blocks_below_hz",
            )


def _driven(
    path: Path, speaker: str, channel: str, driven: dict[str, str], silent: set[str]
) -> Iterator[Problem]:
    if speaker in silent:
        yield Problem(path, f'speaker "{speaker}" is driven and silent', "keep one of the two")
    other = driven.setdefault(speaker, channel)
    if other != channel:
        yield Problem(
            path,
            f'channels {other} and {channel} both drive speaker "{speaker}"',
            "keep one: two outputs on one wire destroy each other",
        )


def lead_findings(kit: Mapping[str, object], vehicle: Mapping[str, object]) -> list[Finding]:
    """Warnings for leads whose way is beyond the ways of a connector that they mate with.

    `kit` and `vehicle` are contents of valid documents; `source` of each finding is the kit's id.
    """
    kinds = {unit.text("id"): unit.text("kind") for unit in top_rows(vehicle, "unit")}
    name = head(kit, "kit").text("id") or "kit"
    found = []
    for part in top_rows(kit, "part"):
        for lead in part.rows("leads"):
            for connector in top_rows(vehicle, "connector"):
                if lead.text("plug") != connector.text("plug"):
                    continue
                kind = vocabulary.IN_LINE
                if "unit" in connector.values:
                    kind = kinds.get(connector.text("unit")) or ""
                if part.text("unit") not in (None, kind):
                    continue
                for problem in _beyond(lead, connector):
                    table = table_name(kit, problem.path)
                    found.append(
                        Finding("warning", name, table, None, None, problem.what, problem.right)
                    )
    return found


def _beyond(lead: Row, connector: Row) -> Iterator[Problem]:
    ways = connector.whole("ways")
    for key in ("plus", "minus"):
        way = lead.position(key)
        number = None if way is None else position_number(way)
        if ways is not None and number is not None and number > ways:
            yield Problem(
                lead.at(key),
                f'{key} is way "{way}", and connector {connector.text("id")} has {ways} ways',
                "check the plug's name, its keying and the way",
                "warning",
            )
