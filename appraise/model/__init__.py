"""Frozen data that the rest of the package speaks in: standard library only, no input or output."""
