"""The worksheet's own colours: one set for a dim workshop, one for daylight. The greys are neutral."""

from __future__ import annotations

from textual.theme import Theme

from appraise.store.settings_sections import COLOURS as ORDER

WORKSHOP = Theme(
    name="workshop",
    primary="#d9b36c",  # brass
    secondary="#7fa89b",  # old green felt
    accent="#d9b36c",
    success="#8fb573",
    warning="#e0a458",
    error="#d9705f",  # madder of bushing cloth
    foreground="#dadada",
    background="#161616",
    surface="#1e1e1e",
    panel="#2a2a2a",
    dark=True,
    variables={
        "quiet": "#a4a4a4",
        "faint": "#6e6e6e",
        "footer-key-foreground": "#d9b36c",
        "footer-background": "#1e1e1e",
        "footer-description-foreground": "#b0b0b0",
        "block-cursor-background": "#d9b36c",
        "block-cursor-foreground": "#161616",
        "border": "#6a6a6a",
        "border-blurred": "#3a3a3a",
        "input-cursor-background": "#d9b36c",
        "input-selection-background": "#7fa89b 35%",
        "scrollbar": "#3a3a3a",
        "scrollbar-hover": "#4a4a4a",
        "scrollbar-active": "#d9b36c",
        "scrollbar-background": "#1a1a1a",
    },
)
"""Warm and low, for a room lit by one lamp."""

DAYLIGHT = Theme(
    name="daylight",
    primary="#7a5410",
    secondary="#2f6354",
    accent="#7a5410",
    success="#3d6b24",
    warning="#8a5200",
    error="#a5281b",
    foreground="#1e1e1e",
    background="#f4f4f4",
    surface="#eaeaea",
    panel="#dddddd",
    dark=False,
    variables={
        "quiet": "#555555",
        "faint": "#8c8c8c",
        "footer-key-foreground": "#7a5410",
        "footer-background": "#eaeaea",
        "footer-description-foreground": "#4a4a4a",
        "block-cursor-background": "#7a5410",
        "block-cursor-foreground": "#f4f4f4",
        "border": "#8a8a8a",
        "border-blurred": "#c4c4c4",
    },
)
"""For a window or a truck in the sun."""

THEMES: tuple[Theme, ...] = (WORKSHOP, DAYLIGHT)


def own_variables(theme: Theme) -> dict[str, str]:
    """Return the variables our style sheets use beside the usual ones, for themes that are not ours."""
    if theme.ansi:
        return {"quiet": "ansi_default", "faint": "ansi_bright_black"}
    return {"quiet": "#a4a4a4", "faint": "#707070"} if theme.dark else {"quiet": "#555555", "faint": "#8c8c8c"}


def next_theme(name: str) -> str:
    """Return the set after this one, the first when the name is not in the round."""
    at = ORDER.index(name) + 1 if name in ORDER else 0
    return ORDER[at % len(ORDER)]
