"""Invented vehicles, kits, amplifiers and jobs, shipped as documents."""
