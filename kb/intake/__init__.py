"""Pin tables as shops have them, CSV and XLSX, into a vehicle's entry.

A straight way: bytes -> cells as text (`tables`) -> columns that mean something (`headings`) ->
pins (`pins`) -> the vehicle's content with those pins (`merge`). Text stays text: position `007`
and circuit `1E5` are not numbers. Nothing is guessed without being shown.
"""
