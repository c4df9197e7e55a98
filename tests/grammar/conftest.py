"""How many cases the fuzz tests try: a few thousand cheap ones, more with LOOMBOOK_FUZZ."""

from __future__ import annotations

import os

import pytest


@pytest.fixture
def fuzz_cases() -> int:
    return int(os.environ.get("LOOMBOOK_FUZZ", "1500"))
