"""The example job, on the shipped book: everything shall play and the plan may choose the parts."""

import copy
from pathlib import Path
from typing import Any

from kb.documents.findings import Source
from kb.documents.reading import read_documents


def example_job(**changes: Any) -> dict[str, Any]:
    """Its content, with what a test changes in it."""
    path = Path(__file__).with_name("tarn-open.toml")
    reading = read_documents([Source(path.name, path.read_bytes(), "toml")])
    assert not reading.findings
    job = copy.deepcopy(reading.documents[0].content)
    for key, value in changes.items():
        if key in ("drive", "fitted"):
            job[key] = value
        else:
            job["job"][key] = value
    return job
