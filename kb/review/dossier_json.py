"""A dossier as the JSON that scripts read: plain keys, hashes instead of numbers of this file."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from kb.review.dossier import Dossier
from kb.review.revisions import Revision


def dossier_json(seen: Dossier) -> dict[str, Any]:
    """`{"kind", "id", "revision", …, "changed", "evidence", "findings", "effect"}`."""
    return {
        **revision_json(seen.revision),
        "against": revision_json(seen.against) if seen.against else None,
        "changed": [asdict(change) for change in (*seen.pins, *seen.others)],
        "evidence": [asdict(line) for line in seen.lines],
        "evidence_changed": [asdict(change) for change in seen.evidence],
        "takes_back": [
            {**revision_json(one.revision), "changes": [asdict(change) for change in one.changes]}
            for one in seen.takes_back
        ],
        "unmeasured": list(seen.unmeasured),
        "rivals": [
            {
                **revision_json(rival.revision),
                "differs": [asdict(change) for change in rival.differs],
            }
            for rival in seen.rivals
        ],
        "risks": [asdict(risk) for risk in seen.risks],
        "findings": [asdict(finding) for finding in seen.findings],
        "elsewhere": [asdict(act) for act in seen.acts if act.arrived and act.act != "submit"],
        "effect": (
            [asdict(change) for change in seen.effect.changes] if seen.effect.was_asked else None
        ),
    }


def revision_json(revision: Revision) -> dict[str, Any]:
    """One revision: what it is and where it stands."""
    return {
        "kind": revision.kind,
        "id": revision.id,
        "revision": revision.hash,
        "state": revision.state,
        "author": revision.author,
        "origin": revision.origin,
        "submitted": revision.submitted,
        "parent": revision.parent,
    }
