"""Coming into a case: the walk, and above it whatever a person has to decide first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from appraise.commands import key_of
from appraise.messages import Messages
from appraise.screens.ask import ask_which
from appraise.screens.walk import WalkScreen
from appraise.services.opening import Opened, open_sheet

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.app import App

    from appraise.screens.case_screen import CaseScreen
    from appraise.services.case_session import CaseSession


def walk_into(app: App[Any], opened: Opened | CaseSession, back: Callable[[None], None] | None = None) -> None:
    """Open the walk on a case.

    Args:
        app: The application.
        opened: From `open_sheet`, or a worksheet in memory.
        back: What follows when the walk is left; none: nothing.
    """
    sheet, said = (opened.worksheet, opened.said) if isinstance(opened, Opened) else (opened, ())

    def tell(why: str) -> None:
        app.notify(
            f"{why}. {key_of('save')} tries again, {key_of('save-as')} saves under another name.",
            severity="error",
            timeout=6,
            markup=False,
        )

    sheet.refuse = tell
    if isinstance(app, Messages):
        sheet.acknowledged = app.unsay
    screen = WalkScreen(sheet)
    app.push_screen(screen, back)
    if said:
        # One message: of several the last alone would be seen. It says what the screen would say of a trouble.
        screen.told_of_trouble = sheet.trouble
        app.notify(f"{sheet.path.name}: {'; '.join(said)}", severity="warning", timeout=8, markup=False)
    if not isinstance(opened, Opened):
        return
    if opened.unsaved is not None:
        screen.ask_recovery(opened.unsaved)
    elif opened.held is not None and opened.held.doubtful:
        _ask_doubtful(app, screen, opened, back)


def _ask_doubtful(
    app: App[Any],
    screen: CaseScreen,
    opened: Opened,
    back: Callable[[None], None] | None,
) -> None:
    sheet = opened.worksheet

    def on_result() -> None:
        screen.dismiss(None)
        walk_into(app, open_sheet(sheet.path, sheet.tables, doubtful=True), back)

    held = "" if opened.held is None else str(opened.held.by)
    ask_which(
        app,
        f"{sheet.path.name} is held by {held}. That machine cannot be reached, and nothing has been written "
        "from there for half a day or more. Take it over only if nobody is working there.",
        stay=("Read only", None),
        take=("Take it over", on_result),
    )
