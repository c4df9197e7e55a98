"""The terminal browser: find the car, see the flags, bring the readings back.

Promise: it shows and sends on, and holds no answer of its own; nothing that it draws is parsed as
markup, nothing that waits blocks its loop, and all it can do is in one registry of actions. It
stands alone because Textual, which costs 150 ms to import, is used here and nowhere else.
"""
