"""Sizes of paper."""

PAPERS = ("a4", "letter")
"""As ISO 216 and ANSI name them."""
