"""Fixtures that the screens' tests share with those of the answers."""

from tests.kb.plan.conftest import planned

__all__ = ["planned"]
