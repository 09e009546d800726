"""A hand on a mouse and none on the keyboard: finds words where they are seen, and clicks there."""

from __future__ import annotations

from rich.cells import cell_len
from textual import events
from textual.command import CommandList, CommandPalette

from tests.helpers.screen_text import screen_text, settle, until


def found(app, words: str, *, nth: int = 0) -> tuple[int, int] | None:
    """Return column and line at which words are seen; none where they are not."""
    for y, line in enumerate(screen_text(app).splitlines()):
        at = line.find(words)
        if at >= 0:
            if nth == 0:
                return cell_len(line[:at]), y
            nth -= 1
    return None


async def click(pilot, words: str, *, dx: int = 0, times: int = 1, nth: int = 0) -> None:
    """Click where words are seen.

    Args:
        pilot: Of the application.
        words: What is clicked; they stand on one line.
        dx: So many columns to the right of their first letter.
        times: 2 for a double click.
        nth: Which, where they are seen on several lines.
    """
    at = found(pilot.app, words, nth=nth)
    assert at is not None, f"“{words}” is not seen:\n{screen_text(pilot.app)}"
    await pilot.click(offset=(at[0] + dx, at[1]), times=times)
    await settle(pilot)


async def command(pilot, label: str) -> None:
    """Give a command: by the foot of the screen where it stands there whole, else by the list of all commands."""
    app = pilot.app
    await until(pilot, lambda: bool(screen_text(app).splitlines()[-1].strip()), "the foot of the screen")
    foot = screen_text(app).splitlines()[-1]
    if f" {label} " in f"{foot.partition('▏')[0]} ":
        await click_foot(pilot, label)
        return
    await click_foot(pilot, "More")
    assert isinstance(app.screen, CommandPalette), screen_text(app)
    rows = app.screen.query_one(CommandList)
    await until(pilot, lambda: label in [str(option.prompt).partition("\n")[0] for option in rows.options], label)
    for _ in range(60):
        at = _line_of(app, rows, label)
        if at is not None:
            await pilot.click(offset=at)
            await settle(pilot)
            return
        await roll(pilot, rows, notches=3)
    raise AssertionError(f"“{label}” cannot be rolled into view:\n{screen_text(app)}")


async def click_foot(pilot, label: str) -> None:
    """Click a command at the foot of the screen."""
    await until(pilot, lambda: label in screen_text(pilot.app).splitlines()[-1], label)
    text = screen_text(pilot.app).splitlines()
    at = text[-1].find(label)
    assert at >= 0, text[-1]
    await pilot.click(offset=(cell_len(text[-1][:at]), len(text) - 1))
    await settle(pilot)


async def roll(pilot, widget, notches: int = 1) -> None:
    """Turn the wheel down over a widget."""
    for _ in range(notches):
        await pilot._post_mouse_events([events.MouseScrollDown], widget=widget, offset=(2, 1), button=0)
    await pilot.pause()


def _line_of(app, rows, label: str) -> tuple[int, int] | None:
    lines = screen_text(app).splitlines()
    region = rows.region
    for y in range(region.y, min(region.bottom, len(lines))):
        if lines[y][region.x : region.right].strip(" ▁▂▃▄▅▆▇█▌") == label:
            return region.x + 4, y
    return None
