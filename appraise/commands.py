"""Every command of the worksheet, once: its keys, its name, what it does, where it works.

Key bindings, footer, command palette, help page, guide and manual page all come from this list, and so do the keys that
a person may put in place of ours. Without Textual: the settings and the command line read it too.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from textual.binding import Binding

EVERYWHERE = "everywhere"
CASES = "cases"
CANDIDATES = "candidates"
WALK = "walk"
WHY = "why"
RESULT = "result"
CHARTS = "charts"
FORM = "form"
RECORD = "record"
INSTRUMENT = "instrument"
NOTES = "notes"
NEW = "new"
ASKED = "asked"
ARRIVAL = "arrival"
OUTCOME = "outcome"
RECOVERY = "recovery"
MERGE = "merge"
TRAIL = "trail"
LOOK = "look"
MISSING = "missing"
PHOTOS = "photos"
PHOTO = "photo"
SETTINGS = "settings"
BOOK = "book"
LIKE = "like"

SCOPES: dict[str, str] = {
    EVERYWHERE: "Everywhere",
    CASES: "On the list of cases",
    CANDIDATES: "On the candidates",
    WALK: "During the inspection",
    LOOK: "During a quick look",
    MISSING: "In the list of what is missing",
    RESULT: "On the result",
    CHARTS: "On the charts",
    WHY: "In the reasons",
    FORM: "In the particulars and defects",
    RECORD: "In a list of records",
    INSTRUMENT: "At the measurements",
    NOTES: "Note by note",
    NEW: "For a new case",
    ASKED: "Where something is asked",
    ARRIVAL: "Before and after a move",
    OUTCOME: "In the result of a move",
    RECOVERY: "Where work was not saved",
    MERGE: "Between two versions",
    TRAIL: "In the trail",
    PHOTOS: "Among the photos",
    PHOTO: "On a photo",
    SETTINGS: "In the settings",
    BOOK: "In the sales book",
    LIKE: "Among the like sales",
}
"""Where commands work, as the help page heads them."""


@dataclass(frozen=True, slots=True)
class Command:
    """Something a person can ask for with a key, in the footer, or in the palette."""

    id: str
    """Stable name; with dashes as underscores it is the action, and the key of `[keys]` in the settings file."""
    keys: str
    """Keys unless the settings say otherwise, comma separated, the first one shown."""
    label: str
    help: str
    scopes: tuple[str, ...]
    footer: tuple[str, ...] = ()
    """Scopes in which it is one of the few that the footer shows."""

    @property
    def action(self) -> str:
        """Name of the action method, without `action_`."""
        return self.id.replace("-", "_")

    @property
    def in_force(self) -> str:
        """Keys in force: those of the settings, else our own."""
        return _own.get(self.id, self.keys)

    @property
    def first_key(self) -> str:
        """The key that a person is told."""
        return self.in_force.partition(",")[0]


_CASE = (WALK, LOOK, MISSING, RESULT, CHARTS, FORM, RECORD, INSTRUMENT, ARRIVAL, PHOTOS, PHOTO)
_EDITS = (WALK, LOOK, FORM, RECORD, ARRIVAL, PHOTOS, NOTES)
_PHOTOS = "Photos of the check, of the whole and of defects; those not used"
_OFF = "Take the photo off what it shows; the file stays"
_LEFT = (*_CASE[1:], WHY, CANDIDATES, OUTCOME, RECOVERY, MERGE, TRAIL, SETTINGS, BOOK, LIKE)
_ELSEWHERE = "Write the case to a new file and go on in it; all the files it depends on go along"
_TRAIL = "Who changed each field and when, with the old and the new value"
_WORDS = "The words of each grade, the quantity, the readings note by note"
_SAVE = "Write the case file; the previous version is kept"
_NEXT = "Go to the next check of the visit; again, to the one after it"
_SKIP = "The check cannot be made here: say why; the visit and the reports leave it out. Again: it can"
_MINUTES = "How many minutes are left for the visit; the clock runs from then on"
_WHY = "What the figure under the cursor rests on"
_WHY_OFFER = "What the offer under the cursor is made of, step by step, on the terms in force"
_FILTER = "Kind, least offer, greatest risk, least months"
_ABOUT = "Instrument, assignment, circumstances, market, costs"
_CHARTS = "Charts: the range and its causes, depreciation, remaining life, readings"
_MEASURE = "Results from the readings: touch, regulation, pins, dampers, wood, strings"
_USE = "Type the figure under the cursor, or measure the notes it goes by"
_MOVE = "Keep the condition before a move, begin the inspection on arrival, see the damage"
_AS_BEFORE = "The check was inspected again and is as it was before the move"
_HAND_OVER = "Write the appraisal, owner's summary, work order or claim dossier as PDF, HTML, Markdown or JSON"
_SIDE = "The highest offer for each of these instruments, side by side"
_BESIDE = "Choose it; of two chosen, the lines below say why one beats the other"
_WRITE = "Write what is shown, in its order, as CSV or as JSON lines"
_LOOK = "One grade a part in some thirty keystrokes; it is marked preliminary until a check of the part is made"
_MISSING = "What is unanswered, preliminary, unstated, unphotographed or undecided before it is handed over"
_SETTINGS = "How the worksheet goes, and what a new case begins with; kept in your settings file"
_SALES = "Your newest sales, what they teach, how past valuations did"
_SOLD = "For what, when and by which kind of sale it was sold: into the sales book, with its valuation"
_TAKE = "Write the rows learned from your sales into a folder of tables, once shown"
_WITHDRAW = "Strike the sale out with a reason, so that it counts for nothing, or let it count again"
_STRIKE = "Leave the sale under the cursor out, or take it in again"
_BRING_IN = "A file: a column of values, or columns headed note and value"
_AS_LAST = "Assessor, client, place, currency, climate, rates and terms: as in the last case"
_OVERRULE = "Put your own grade on the component under the cursor, with a reason"

COMMANDS: tuple[Command, ...] = (
    Command("open-case", "enter", "Open", "Open the case under the cursor", (CASES,), (CASES,)),
    Command("new-case", "f3,ctrl+n", "New case", "Start a new case file in this folder", (CASES,), (CASES,)),
    Command("refresh-list", "f5", "Refresh", "Read the folder again", (CASES, CANDIDATES)),
    Command("candidates", "f6", "Candidates", _SIDE, (CASES,), (CASES,)),
    Command("open-candidate", "enter", "Open", "Open the case under the cursor", (CANDIDATES,)),
    Command("set-beside", "space", "Choose", _BESIDE, (CANDIDATES,), (CANDIDATES,)),
    Command("put-in-order", "f3", "Order", "By which column, and which way", (CANDIDATES,)),
    Command("column-before", "left", "Column before", "In the order of the column before", (CANDIDATES,)),
    Command("column-after", "right", "Column after", "In the order of the column after", (CANDIDATES,)),
    Command("reverse-order", "backspace", "Reverse", "The same column in reverse order", (CANDIDATES,)),
    Command("why-offer", "f4,question_mark", "Why?", _WHY_OFFER, (CANDIDATES,), (CANDIDATES,)),
    Command("filter", "ctrl+f", "Filter", "Kind, least offer, greatest risk, least months", (CANDIDATES,)),
    Command(
        "terms", "f6", "Terms", "Confidence of the margin, the margin, the kind of resale", (CANDIDATES,), (CANDIDATES,)
    ),
    Command("stop-valuing", "f7", "Stop", "Stop valuing; Refresh goes on", (CANDIDATES,)),
    Command("write-out", "f8", "Write", _WRITE, (CANDIDATES,)),
    Command("save", "f2,ctrl+s", "Save", _SAVE, _CASE, tuple(scope for scope in _CASE if scope != RESULT)),
    Command("save-as", "ctrl+e", "Save under another name", _ELSEWHERE, _CASE),
    Command("trail", "ctrl+l", "Trail", _TRAIL, _CASE),
    Command("recover", "f2,enter", "Recover", "Go on where the work was cut off", (RECOVERY,), (RECOVERY,)),
    Command("set-aside", "f8", "Set aside", "Go on from the file; the trail keeps the rest", (RECOVERY,), (RECOVERY,)),
    Command("merge", "f2,ctrl+s", "Merge", "Make one version of the two", (MERGE,), (MERGE,)),
    Command("next-open", "f3,ctrl+n", "Next open", "The next difference still to decide", (MERGE,), (MERGE,)),
    Command("take-mine", "left", "Mine", "Take your worksheet's value", (MERGE,)),
    Command("take-theirs", "right", "File's", "Take the file's value", (MERGE,)),
    Command("keep-all-mine", "f7", "Keep all mine", "Your value wherever nothing is decided yet", (MERGE,)),
    Command(
        "keep-all-theirs", "f8", "Keep all of the file's", "The file's value wherever nothing is decided yet", (MERGE,)
    ),
    Command("own-settings", "ctrl+x", "Settings", _SETTINGS, (CASES, WALK, FORM)),
    Command("change-setting", "enter,space", "Change", "Switch it, choose, or type", (SETTINGS,), (SETTINGS,)),
    Command(
        "default-setting", "delete", "Default", "The value in force where nothing is set", (SETTINGS,), (SETTINGS,)
    ),
    Command("sales-book", "ctrl+k", "Sales book", _SALES, (CASES, RESULT)),
    Command("sold", "ctrl+w", "Sold", _SOLD, (RESULT,)),
    Command("part-before", "left", "Part before", "Sales, tables, score: the part before", (BOOK,)),
    Command("part-after", "right", "Part after", "Sales, tables, score: the part after", (BOOK,), (BOOK,)),
    Command("take-rows", "f8", "Take", _TAKE, (BOOK,), (BOOK,)),
    Command("withdraw-sale", "delete", "Strike out", _WITHDRAW, (BOOK,), (BOOK,)),
    Command("strike-out", "space", "Strike out", _STRIKE, (LIKE,), (LIKE,)),
    Command("take-sales", "f8", "Take", "Make the ticked sales comparables of the case", (LIKE,), (LIKE,)),
    Command("one-field", "enter,f3", "This field", "Only this field's history, or all again", (TRAIL,), (TRAIL,)),
    Command("take-copy", "ctrl+e", "Copy version", "Write the version of a report to a file", (TRAIL,), (TRAIL,)),
    Command("open-row", "enter", "Open", _WORDS, (WALK,)),
    Command("next-check", "f3,ctrl+n", "Next check", _NEXT, (WALK,), (WALK,)),
    Command("skip-check", "ctrl+k", "Skip", _SKIP, (WALK,)),
    Command("visit-minutes", "ctrl+g", "Minutes left", _MINUTES, (WALK,)),
    Command("quick-look", "ctrl+o", "Quick look", _LOOK, (WALK,)),
    Command("missing", "ctrl+u", "What is missing", _MISSING, (WALK,)),
    Command("go-there", "enter", "Go there", "To the row where it is entered", (MISSING,), (MISSING,)),
    Command("next-part", "enter,space", "Next part", "Leave the part as it is and go on", (LOOK,)),
    Command("why", "f4,question_mark", "Why?", _WHY, (WALK,), (WALK,)),
    Command("why-figure", "enter,f4,question_mark", "Why?", _WHY, (RESULT, CHARTS), (RESULT, CHARTS)),
    Command("result", "f5", "Result", "Value, work worth doing, reasons", (WALK, LOOK), (WALK, LOOK)),
    Command("charts", "f5", "Charts", _CHARTS, (RESULT,), (RESULT,)),
    Command("chart-before", "left", "Chart before", "The chart before this one", (CHARTS,)),
    Command("chart-after", "right", "Chart after", "The chart after this one", (CHARTS,)),
    Command("particulars", "f6", "Particulars", _ABOUT, (WALK, RESULT)),
    Command("documents", "f12,ctrl+d", "Document", _HAND_OVER, (WALK, RESULT, OUTCOME), (RESULT, OUTCOME)),
    Command("remarks", "f7", "Defects", "Defects seen: place, cause, origin, photo", (WALK, RESULT)),
    Command("photos", "ctrl+f", "Photos", _PHOTOS, (WALK, RESULT)),
    Command("view-photo", "enter", "View", "Show the photo under the cursor", (PHOTOS,), (PHOTOS,)),
    Command("add-photos", "insert,f3", "Add", "Choose photos from the folder of the case", (PHOTOS,), (PHOTOS,)),
    Command("take-off", "delete", "Take off", _OFF, (PHOTOS,)),
    Command("photo-before", "left", "Photo before", "The photo before this one", (PHOTO,)),
    Command("photo-after", "right", "Photo after", "The photo after this one", (PHOTO,)),
    Command("mark", "f4", "Arrow or circle", "Draw an arrow or a circle here and in documents", (PHOTO,), (PHOTO,)),
    Command("caption", "enter", "Caption", "Write a caption of your own", (PHOTO,), (PHOTO,)),
    Command("measurements", "f11,ctrl+t", "Measurements", _MEASURE, (WALK,)),
    Command("use", "enter", "Use", _USE, (INSTRUMENT,), (INSTRUMENT,)),
    Command("overrule", "f8", "Overrule", _OVERRULE, (WALK,)),
    Command("before-and-after", "ctrl+r", "Before and after", _MOVE, (CASES, WALK, RESULT, FORM), (CASES,)),
    Command("as-before", "space", "As before", _AS_BEFORE, (WALK,)),
    Command("outcome", "f5", "What it did", "Damage, loss, claim and periods", (ARRIVAL,), (ARRIVAL,)),
    Command("earlier-remarks", "f7", "Defects", "What became of the earlier defects", (ARRIVAL,), (ARRIVAL,)),
    Command("station-before", "left", "Station before", "The station before this one", (WALK,)),
    Command("station-after", "right", "Station after", "The station after this one", (WALK,)),
    Command("edit", "enter", "Edit", "Fill in the field under the cursor", (FORM, RECORD, ARRIVAL), (FORM, RECORD)),
    Command("add-record", "insert,f3", "Add", "Add one to the list under the cursor", (FORM,), (FORM,)),
    Command("delete-entry", "delete", "Delete", "Empty the field, or delete the record", (FORM, RECORD, ARRIVAL)),
    Command("undo", "ctrl+z", "Undo", "Take the last edit back, as far back as the session goes", _EDITS),
    Command("redo", "ctrl+y", "Redo", "Make the edit again that was taken back", _EDITS),
    Command("bring-in", "f3", "Bring in", _BRING_IN, (NOTES,)),
    Command("create", "f2,ctrl+s", "Create", "Create the case file and begin the walk", (NEW,)),
    Command("as-last", "f4", "As in the last case", _AS_LAST, (NEW,)),
    Command("all-as-last", "f5", "All as in the last case", "Every line about the shop as in the last case", (NEW,)),
    Command("back", "escape", "Back", "Close this screen; unsaved work is asked about", (WALK, *_LEFT), _LEFT),
    Command("show-help", "f1", "Help", "Every key, and how findings are entered", (EVERYWHERE,), (EVERYWHERE,)),
    Command("leave-app", "ctrl+q,f10", "Quit", "Leave, asking first when something is not saved", (EVERYWHERE,)),
    Command("command-palette", "ctrl+p", "More", "Every command of this screen, found by its name", (EVERYWHERE,)),
    Command("next-theme", "f9", "Colours", "The next colour theme, the terminal's own colours included", (EVERYWHERE,)),
)
"""Every command."""

BY_ID: Mapping[str, Command] = {command.id: command for command in COMMANDS}
"""Each command by its stable name."""

_own: dict[str, str] = {}
"""Keys that stand in place of ours, by command; the one worksheet of the process has put them in force."""


def put_in_force(own: Mapping[str, str]) -> None:
    """Have keys of somebody's own stand in place of ours, in every binding and every text.

    Args:
        own: Keys, comma separated, by command; what is not among them keeps our keys.
    """
    _own.clear()
    _own.update(own)


def key_of(id: str) -> str:
    """Return the key in force for a command, as people know it."""
    return key_name(BY_ID[id].first_key)


def bindings(scope: str) -> list[Binding | tuple[str, str] | tuple[str, str, str]]:
    """Return the key bindings of one scope, by our own keys; the application puts others in place by id."""
    from textual.binding import Binding

    return [
        Binding(
            command.keys,
            command.action,
            command.label,
            tooltip=command.help,
            id=command.id,
            show=scope in command.footer,
            priority=scope == EVERYWHERE,
        )
        for command in COMMANDS
        if scope in command.scopes
    ]


def bound_to(id: str, action: str, label: str) -> Binding:
    """Return the binding of a dialog's own action to the keys of a command."""
    from textual.binding import Binding

    return Binding(BY_ID[id].keys, action, label, show=False, id=id)


def of_scope(scope: str) -> list[Command]:
    """Return the commands that work in one scope, those that work everywhere left out."""
    return [command for command in COMMANDS if scope in command.scopes]


_KEY_NAMES = {
    "question_mark": "?",
    "escape": "Esc",
    "delete": "Del",
    "insert": "Ins",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "left": "←",
    "right": "→",
    "up": "↑",
    "down": "↓",
}


def key_name(key: str) -> str:
    """Return a key as people know it, the one way in which it is written anywhere: "ctrl+s" is "Ctrl+S"."""
    return "+".join(_KEY_NAMES.get(part, part.capitalize()) for part in key.split("+"))


def key_names(keys: str) -> str:
    """Return several keys, given with commas between them, as people know them."""
    return " ".join(key_name(key) for key in keys.split(","))


def told(text: str, *, every: bool = False) -> str:
    """Return a text with the key in force, or every one, where it names a command: "{save}"."""

    def keys(found: re.Match[str]) -> str:
        command = BY_ID[found.group(1)]
        return key_names(command.in_force) if every else key_name(command.first_key)

    return re.sub(r"\{([a-z-]+)\}", keys, text)
