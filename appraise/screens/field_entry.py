"""The right way to fill in a field: a line, a text, one of several, several of many."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from appraise.screens.choose import ChooseScreen, ChooseSeveralScreen
from appraise.screens.choose_photos import choose_photos
from appraise.screens.entry import EntryScreen, LongEntryScreen
from appraise.services.fields import Accepts, as_typed, get, unit_of

if TYPE_CHECKING:
    from appraise.screens.fields import FieldScreen
    from appraise.services.fields import Field


def enter_field(screen: FieldScreen, field: Field, typed: str, line: int) -> None:
    """Ask for one field of the case, put the answer there and go on to the next.

    Args:
        screen: Where the field is shown.
        field: What is asked.
        typed: The first letter typed already.
        line: Line of the screen the field stands on.
    """
    case, tables = screen.case, screen.worksheet.tables
    what = field.label.strip()

    def take_line(entry: tuple[object]) -> None:
        screen.put(field.path, entry[0], what.lower())
        screen.show_case()
        screen.move_on(field)

    def take_choice(*keys: str) -> None:
        if screen.put_text(field, ", ".join(keys)):
            screen.move_on(field)

    now, unit = get(case, field.path), unit_of(field, case)
    if field.accepts is Accepts.PHOTOS:
        choose_photos(screen, field.path, typed, partial(screen.move_on, field))
    elif field.accepts is Accepts.CHOICE and field.choices is not None:
        choices = field.choices(case, tables)
        choices = choices if field.required else (("", "not stated"), *choices)
        screen.ask(ChooseScreen(what, choices, now=as_typed(field, case), typed=typed), take_choice)
    elif field.accepts is Accepts.SEVERAL and field.choices is not None:
        screen.ask(ChooseSeveralScreen(what, field.choices(case, tables), now), lambda keys: take_choice(*keys))
    else:
        entry = LongEntryScreen if field.accepts is Accepts.LONG else EntryScreen
        screen.ask(
            entry(
                f"{what}{f' [{unit}]' if unit else ''}",
                partial(screen.parse, field),
                text=as_typed(field, case),
                typed=typed,
                hints=(field.help,),
                line=line,
            ),
            take_line,
        )
