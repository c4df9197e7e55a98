"""The one refusal of the knowledge base.

    Exception
    ├── Refused            bad data, not found, not allowed: exit status 1, nothing changed
    └── grammar.errors.QueryError   the query cannot be read or run: exit status 2

A message is one clear sentence: what is wrong, where, and what would be right.
"""


class Refused(Exception):
    """What was asked cannot be done; nothing was changed. `str()` is the sentence to show."""
