"""The query language as text: text to tree, places and hints of errors, tree to text. Knows no field and no table."""
