"""The inspection worksheet of a piano appraiser: condition, remaining life, and value as a range with reasons."""

__version__ = "0.1.0"
