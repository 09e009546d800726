"""Random work on a worksheet, the same for the same generator: every kind of edit, undo, redo."""

from __future__ import annotations

import hashlib
import json

from appraise.model.case import Origin, Remark
from appraise.store.plain_case import encode


def fingerprint(case) -> str:
    """Tell one state of a case from another."""
    return hashlib.sha256(json.dumps(encode(case), sort_keys=True).encode()).hexdigest()


def step(sheet, random, checks) -> None:
    """Do one thing to a worksheet."""
    turn = random.randrange(12)
    case = sheet.case
    if turn <= 2:
        sheet.set_grade(random.choice(checks["graded"]), random.choice((1.0, 2.5, 4.0, None)))
    elif turn == 3:
        notes = random.sample(range(1, 89), 5)
        sheet.set_readings("pin_torque", {note: round(random.uniform(3, 12), 1) for note in notes})
    elif turn == 4:
        sheet.put(("identity", "maker"), f"Invented {random.randrange(1000)} äöü 漢 “quotes” \\ \n two lines")
    elif turn == 5:
        sheet.add(("remarks",), Remark("case", ""), "remark")
    elif turn == 6 and case.remarks:
        at = random.randrange(len(case.remarks))
        sheet.put(("remarks", at, "text"), f"a scratch of {random.randrange(900) + 1} mm")
    elif turn == 7 and case.remarks:
        sheet.put(("remarks", random.randrange(len(case.remarks)), "origin"), random.choice(list(Origin)))
    elif turn == 8 and case.remarks:
        sheet.remove(("remarks",), random.randrange(len(case.remarks)), "remark")
    elif turn == 9:
        sheet.clear("pin_torque")
    elif turn == 10:
        sheet.undo()
    else:
        sheet.redo()


def savable(case) -> bool:
    """Say whether the case could be written: a remark without words cannot."""
    return all(remark.text for remark in case.remarks)


def checks_of(tables) -> dict[str, list[str]]:
    """Return the checks that `step` uses."""
    kind = "upright"
    return {"graded": [row.key for row in tables.checks.values() if row.kind == "graded" and kind in row.kinds][:4]}
