"""One screen a file; each asks, shows the answer and sends on what a person decides."""
