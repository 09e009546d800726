"""Instruments as services, for screens and commands: what was typed or imported, and the tables, to an answer."""
