"""The knowledge base: documents, store, answers, query, plan, review, exchange.

Knows no screen.
"""
