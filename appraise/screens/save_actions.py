"""Saving and all that can come between: another program's version, a lock, a folder that cannot be written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.problem import InputError, Unreadable
from appraise.services.merging import Merging
from appraise.services.opening import Unsaved, make_writable, read_at_rest, recover, set_aside
from appraise.store.write import WriteConflict

if TYPE_CHECKING:
    from collections.abc import Callable

    from appraise.model.case import Case
    from appraise.screens.case_screen import CaseScreen

_ELSEWHERE = "Ctrl+E saves under another name"


def save(screen: CaseScreen) -> None:
    """Write the file, or open what has to be decided first."""
    sheet = screen.worksheet
    if sheet.read_only:
        try_to_write(screen)
    elif sheet.on_disk.gone and not sheet.on_disk.moved:
        _ask_gone(screen)
    elif sheet.changed_on_disk and not sheet.on_disk.moved:
        compare(screen)
    else:
        screen.save_now()


def save_now(screen: CaseScreen) -> bool:
    """Write the file; False, with the reason said, when that is impossible."""
    sheet = screen.worksheet
    try:
        sheet.save()
    except WriteConflict:
        compare(screen)
        return False
    except Unreadable as error:
        screen.say(f"Not saved. {error.problems[0]}. {_ELSEWHERE}", wrong=True)
        screen.show_title()
        return False
    screen.show_title()
    if not sheet.trouble:
        screen.say(f"Saved {sheet.path.name}")
    return True


def save_as(screen: CaseScreen) -> None:
    """Ask for a name, write the case there and go on in the new file."""
    from appraise.screens.entry import EntryScreen
    from appraise.services.naming import free_path

    sheet = screen.worksheet

    def write(text: str) -> object:
        path = free_path(text, sheet.path.parent)
        try:
            return sheet.save_as(path)
        except Unreadable as error:
            raise InputError(str(error.problems[0])) from None

    def take(entry: tuple[object] | None) -> None:
        stayed = entry[0] if entry is not None and isinstance(entry[0], tuple) else ()
        if stayed:
            more = f" and {len(stayed) - 1} more" if len(stayed) > 1 else ""
            screen.say(f"Saved {sheet.path}; you go on in this file. Not taken along: {stayed[0]}{more}", wrong=True)
        elif entry is not None:
            screen.say(f"Saved {sheet.path}; you go on in this file")
        screen.show_case()

    hints = ("A name in the same folder, or a path to another folder or disk: ~/case.toml, /media/stick/case.toml",)
    screen.app.push_screen(EntryScreen("Save under another name", write, text=sheet.path.name, hints=hints), take)


def compare(screen: CaseScreen) -> None:
    """Lay the worksheet and the file side by side, and save what is merged."""
    sheet = screen.worksheet
    try:
        theirs, digest = read_at_rest(sheet.path, sheet.tables)
    except Unreadable as error:
        screen.say(f"{error.problems[0]}. Nothing was overwritten. {_ELSEWHERE}", wrong=True)
        return
    base = sheet.saved
    merging = Merging(base, sheet.case, theirs)
    if not merging.differences:
        # Another layout of the same content, or another leading comment.
        sheet.rebase(theirs, digest)
        screen.save_now()
        return

    def take(merged: Case | None) -> None:
        if merged is not None:
            sheet.merge(merged, base, theirs, digest)
            screen.save_now()
        screen.show_case()

    _open_merge(screen, merging, take)


def take_recovery(screen: CaseScreen, answer: str | None) -> None:
    """Do with unsaved work what was decided."""
    sheet, unsaved = screen.worksheet, screen.unsaved
    screen.unsaved = None
    if unsaved is None or answer is None:
        screen.leave_case()
    elif answer == "set-aside":
        set_aside(sheet, unsaved)
        screen.say("Set aside; Ctrl+L shows it in the trail")
        screen.show_case()
    elif unsaved.foreign:
        _merge_recovery(screen, unsaved)
    else:
        recover(sheet, unsaved)
        screen.say("Taken up where it was cut off; F2 saves it")
        screen.show_case()


def _merge_recovery(screen: CaseScreen, unsaved: Unsaved) -> None:
    sheet, left, base = screen.worksheet, unsaved.left, unsaved.base
    if left is None or base is None:
        screen.leave_case()
        return
    theirs, digest = sheet.case, sheet.on_disk.digest

    def take(merged: Case | None) -> None:
        if merged is None:
            screen.leave_case()
            return
        sheet.merge(merged, base, theirs, digest, mine=left)
        screen.say("Taken up and merged; F2 saves it")
        screen.show_case()

    _open_merge(screen, Merging(base, left.case, theirs), take)


def _open_merge(screen: CaseScreen, merging: Merging, take: Callable[[Case | None], None]) -> None:
    from appraise.screens.merging import MergeScreen

    screen.app.push_screen(MergeScreen(screen.worksheet.path.name, merging, screen.worksheet.tables), take)


def try_to_write(screen: CaseScreen) -> None:
    """Make a read-only worksheet writable, if whoever had it has left."""
    sheet = screen.worksheet
    try:
        writable, unsaved = make_writable(sheet)
    except Unreadable as error:
        screen.say(str(error.problems[0]), wrong=True)
        return
    if not writable:
        screen.say(f"{sheet.read_only}. {_ELSEWHERE}", wrong=True)
        return
    screen.say("Writable now: nobody else has it open")
    screen.show_case()
    if unsaved is not None:
        ask_recovery(screen, unsaved)


def ask_recovery(screen: CaseScreen, unsaved: Unsaved) -> None:
    """Ask what is to become of unsaved work."""
    from appraise.screens.recovery import RecoveryScreen

    screen.unsaved = unsaved
    screen.app.push_screen(RecoveryScreen(screen.worksheet, unsaved), screen.take_recovery)


def look_at_file(screen: CaseScreen) -> None:
    """Say once when the file was changed by another program, or when a read-only worksheet can be written now."""
    sheet = screen.worksheet
    name, news = sheet.path.name, ""
    if sheet.read_only:
        if sheet.keeper is not None and sheet.keeper.lock.held_by() is None:
            news = f"{name} is free now: F2 makes it writable"
    elif sheet.on_disk.moved:
        news = f"{name}: {sheet.on_disk.moved}. Your work is in memory. {_ELSEWHERE}"
    elif sheet.on_disk.gone:
        news = f"{name} was removed or renamed by another program. Your work is in memory; F2 asks what to do"
    elif sheet.changed_on_disk:
        news = f"{name} was changed by another program. Nothing is overwritten: F2 lays both versions side by side"
    if news and news != screen.told_of_file:
        screen.say(news, wrong=True)
    screen.told_of_file = news


def _ask_gone(screen: CaseScreen) -> None:
    from appraise.screens.ask import AskScreen

    def take(answer: str | None) -> None:
        if answer == "save":
            screen.save_now()
        elif answer == "as":
            save_as(screen)

    screen.app.push_screen(
        AskScreen(
            f"{screen.worksheet.path.name} was removed or renamed by another program since you opened it.",
            (("save", "Write it anew"), ("as", "Another name"), ("stay", "Do not save")),
        ),
        take,
    )
