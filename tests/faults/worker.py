"""A process of its own that edits and saves a case, and says on standard output what it was told is kept."""

from __future__ import annotations

import os
import sys
from pathlib import Path


def main(path: Path) -> None:
    """Edit, save, edit again, save again; a failed save is tried once more at the end."""
    from appraise.model.problem import Unreadable
    from appraise.services.opening import open_sheet
    from appraise.tables.load import load_tables

    sheet = open_sheet(path, load_tables()).worksheet

    def say(word: str) -> None:
        os.write(1, f"{word} {sheet.case.identity.maker}\n".encode())

    for number in range(1, 5):
        sheet.put(("identity", "maker"), f"Maker {number}")
        say("memory" if sheet.trouble else "kept")
        if number in (2, 3):
            try:
                sheet.save()
                say("saved")
            except Unreadable:
                say("refused")
    say("end")
    # As a process ends whose terminal is closed.
    os._exit(0)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
