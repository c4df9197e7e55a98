"""How the book earns trust: people, the acts of review, what a reviewer must see, and the audit.

The rules themselves are triggers in kb/store/rules.sql; this package says them as sentences before
the database has to, and gathers what a lead needs to decide.
"""
