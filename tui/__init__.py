"""Everything a person meets in a terminal: commands, browser, sheets and faces.

Holds no answer of its own.
"""
