"""Documents as people write them: read, checked and placed, and the plain texts inside them.

`reading` is the door for files. `colours`, `circuits`, `positions`, `years`, `canonical` and
`vocabulary` stand on their own and load no heavy library. Knows no store and no screen.
"""
