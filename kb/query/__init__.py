"""Questions to the book: a tree of the query language, bound to fields, compiled to one SQL
statement, run on a connection that cannot write. `run.ask` is the way in."""
