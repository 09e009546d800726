"""The last line of a screen: its most used commands, and the way to all others; a click does what the key does."""

from __future__ import annotations

from textual.widgets import Footer


class Foot(Footer):
    """Keys with what they do; the way to every other command stays at the right, however narrow the screen."""

    DEFAULT_CSS = """
    Foot.-compact FooterKey.-command-palette { margin-right: 0; }
    """

    def __init__(self) -> None:
        super().__init__(show_command_palette=True, compact=True)
