"""The query language as text: text to tree, places and hints of errors, tree to text.

Knows no field and no table: it stands alone so that the language can be read, tested and completed
without a book. `query.lark` is the reference.
"""
