"""What is said where a question is refused or finds nothing; no good question imports any of it."""
