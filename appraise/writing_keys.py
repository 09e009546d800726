"""Keys that write or move, so that they are no commands and stay where they are; the help page lists them."""

from __future__ import annotations

from appraise.commands import ASKED, LOOK, NEW, NOTES, WALK, WHY

ENTRY_KEYS: tuple[tuple[str, str], ...] = (
    ("1 … 5", "Grade the check: 1 as new, 2 sound, 3 simple repair, 4 major repair, 5 worn out"),
    ("2.5 2,5 2½ 25", "Half grades, and so on; 2. is 2.5 too"),
    ("Enter", "After an answer: take it and go to the next check"),
    ("+ and −", "Half a grade worse, half a grade better"),
    ("0 … 9", "On a measured or counted check: type the quantity; 7,4 and 65 in·lb are both understood"),
    ("y and n", "Answer a yes-or-no check"),
    ("Del", "Clear the answer: not inspected"),
    ("↑ ↓ PgUp PgDn", "Move from check to check; Home and End go to the first and the last"),
    ("Ctrl+↑ Ctrl+↓", "To the heading of a part; Enter or {overrule} there overrules its grade"),
    ("Tab", "Move between stations, checks and details"),
    ("Mouse", "Click a mark on a check's scale to grade it, a station to walk there; Shift and drag selects text"),
)
"""How findings are entered on the walk: keys that write, so they are no commands."""

NOTE_KEYS: tuple[tuple[str, str], ...] = (
    ("Enter", "Write down what was typed: note and value, as A4 7.4 or 46-58 7.4, or a value for the chosen notes"),
    ("7.4", "A value alone, before any note was typed or chosen, is for the section"),
    ("↑ ↓", "While typing: the note above, the note below"),
    ("Tab", "From the line to the list, from there to the keys"),
    ("← → PgUp PgDn", "On the keys: a note, an octave; Home and End go to the ends"),
    ("Shift+← Shift+→", "On the keys: choose several notes, to write them all or clear them"),
    ("Del", "On the keys: clear the chosen notes; on the list: the reading under the cursor"),
    ("Paste", "Many lines at once: values upwards from the cursor, or note and value on each"),
    ("Mouse", "Click a key; Shift and click chooses up to it"),
    ("Esc", "Done; a value that was typed and not written down is asked about"),
)
"""How readings are entered note by note."""


LOOK_KEYS: tuple[tuple[str, str], ...] = (
    ("1 … 5", "Grade the part and go on to the next; on a heading, all parts of the station not checked yet"),
    (". , ½ .5", "After a digit: half a grade more for the part just graded"),
    ("Del", "Take the grade of the part under the cursor back"),
    ("↑ ↓ PgUp PgDn", "Move from part to part; Home and End go to the first and behind the last"),
    ("Ctrl+↑ Ctrl+↓", "To the heading of a station"),
    ("Mouse", "Click a mark on a part's scale to grade it"),
)
"""How parts are graded at a quick look."""


WHY_KEYS: tuple[tuple[str, str], ...] = (
    ("→", "Open the figure: what it rests on; once more goes there"),
    ("←", "Close it; once more goes to the figure that rests on it"),
    ("Space Enter", "Open or close it"),
    ("Tab", "To the words of the figure, and back"),
)
"""How one walks through the reasons."""

NEW_KEYS: tuple[tuple[str, str], ...] = (
    ("← → g u", "On the kind: grand or upright"),
    ("↑ ↓ Enter Tab", "From line to line; Enter behind the last creates the case"),
    ("Esc", "Leave without a new case"),
)
"""How a new case is begun."""

ASKED_KEYS: tuple[tuple[str, str], ...] = (
    ("Enter", "Take what was typed, or the choice under the cursor"),
    ("{save}", "Take it as well, and save: a text, or several lines at once, too"),
    ("Ctrl+J", "In a text of several lines: a new line; where the terminal tells it apart, Alt+Enter too"),
    ("↑ ↓", "Among choices; letters go to the one that begins with them, from the row itself too"),
    ("Space", "Where several may be chosen: tick it, or take the tick away"),
    ("Esc", "Leave it as it was; what was written or ticked is asked about"),
)
"""How a line, a text or a choice is answered."""

BY_SCOPE = {WALK: ENTRY_KEYS, LOOK: LOOK_KEYS, NOTES: NOTE_KEYS, NEW: NEW_KEYS, ASKED: ASKED_KEYS, WHY: WHY_KEYS}
"""All of them; where they name a command, as "{save}", its key in force stands there."""
