"""What keys on the walk should have entered, worked out without a screen, and keys drawn at random for it."""

from __future__ import annotations

from appraise.model.case import STATIONS
from appraise.services.walk import checks_of
from appraise.tables.rows import CheckKind


class Walked:
    """The answers of a case that nobody has looked at, as keys are typed one after the other."""

    def __init__(self, kind, tables, chance):
        """Stand on the first check of the first station.

        Args:
            kind: Grand or upright.
            tables: The reference tables.
            chance: Where the keys come from.
        """
        self._checks = {station: list(checks_of(tables, kind, station)) for station in STATIONS}
        self._chance = chance
        self.answers: dict[str, object] = {}
        """Grade, number, word, yes or no by check."""
        self._past: list[tuple[str, dict[str, object]]] = []
        self._future: list[tuple[str, dict[str, object]]] = []
        """The check each edit was of, and the answers on its other side."""
        self._station, self._at = 0, 0
        self._open = False
        """An answer was typed and not taken: a digit more would belong to it."""

    # -- what keys mean ----------------------------------------------------------------------------

    @property
    def _rows(self):
        return self._checks[STATIONS[self._station]]

    @property
    def _row(self):
        return self._rows[self._at]

    def _write(self, answer, *, joins: bool = False) -> None:
        """Answer the check under the cursor; what joins the edit before it is taken back with it."""
        now = dict(self.answers)
        now.pop(self._row.key, None)
        if answer is not None:
            now[self._row.key] = answer
        if now != self.answers:
            if not (joins and not self._future and self._past and self._past[-1][0] == self._row.key):
                self._past.append((self._row.key, self.answers))
            self._future.clear()
            self.answers = now

    def _move(self, step: int) -> None:
        self._at = min(max(self._at + step, 0), len(self._rows) - 1)

    def _go(self, station: int) -> None:
        if 0 <= station < len(STATIONS) and station != self._station:
            self._station = station
            undone = [at for at, row in enumerate(self._rows) if row.key not in self.answers]
            self._at = undone[0] if undone else 0

    def _take(self) -> None:
        """Enter has taken an answer: on to the next check, behind the last to the next station."""
        if self._at + 1 < len(self._rows):
            self._move(1)
        else:
            self._go(self._station + 1)

    # -- keys --------------------------------------------------------------------------------------

    def some(self) -> list[str]:
        """Draw a few keys that belong together, and follow them."""
        shares = {"move": 30, "station": 5, "delete": 3, "undo": 3, "redo": 2, "edge": 3, "away": 3}
        if not self._open:
            shares |= {"answer": 40, "words": 5, "help": 2}
        self._open = False
        kind = self._chance.choices(list(shares), list(shares.values()))[0]
        return getattr(self, f"_{kind}_keys")()

    def _answer_keys(self) -> list[str]:
        row, chance = self._row, self._chance
        if row.per_note:
            return self._move_keys()
        taken = chance.random() < 0.5
        if row.kind is CheckKind.GRADED:
            whole = chance.randint(1, 5)
            ways = [[str(whole)]]
            if whole < 5:
                ways += [[str(whole), ".", "5"], [str(whole), ",", "5"], [str(whole), "½"], [str(whole), "."]]
                ways += [[str(whole), "5"]]
            keys = chance.choice(ways)
            self._write(float(whole))
            if len(keys) > 1:  # each of them stands at once; they are taken back together
                self._write(whole + 0.5, joins=True)
        elif row.kind is CheckKind.YES_NO:
            keys = [chance.choice("yn")]
            self._write(keys == ["y"])
        elif row.kind is CheckKind.RECORD:
            text = chance.choice(("one crack", "two of them, open", "none seen"))
            keys, taken = list(text), True
            self._write(text)
        else:
            low, high = row.plausible or (0.0, 40.0)
            value = round(chance.uniform(low, min(high, low + 500.0)), 0 if row.kind is CheckKind.COUNT else 1)
            value = min(max(value, low), high)
            text = f"{value:.0f}" if row.kind is CheckKind.COUNT else f"{value:.1f}"
            keys, taken = list(text), True
            self._write(float(text))
        self._open = not taken
        if taken:
            keys = [*keys, "enter"]
            self._take()
        return keys

    def _move_keys(self) -> list[str]:
        step = self._chance.choice((1, 1, -1))
        times = self._chance.randint(1, 3)
        for _ in range(times):
            self._move(step)
        return ["down" if step > 0 else "up"] * times

    def _edge_keys(self) -> list[str]:
        last = self._chance.random() < 0.5
        self._at = len(self._rows) - 1 if last else 0
        return ["end" if last else "home"]

    def _station_keys(self) -> list[str]:
        step = self._chance.choice((1, -1))
        self._go(self._station + step)
        return ["right" if step > 0 else "left"]

    def _delete_keys(self) -> list[str]:
        self._write(None)
        return ["delete"]

    def _undo_keys(self) -> list[str]:
        if self._past:
            check, before = self._past.pop()
            self._future.append((check, self.answers))
            self.answers = before
        return ["ctrl+z"]

    def _redo_keys(self) -> list[str]:
        if self._future:
            check, after = self._future.pop()
            self._past.append((check, self.answers))
            self.answers = after
        return ["ctrl+y"]

    def _words_keys(self) -> list[str]:
        """The words of the grades, chosen from the list."""
        if self._row.kind is not CheckKind.GRADED:
            return self._move_keys()
        grade = self._chance.randint(1, 5)
        self._write(float(grade))
        self._take()
        return ["enter", "home", str(grade), "enter"]

    def _help_keys(self) -> list[str]:
        return ["f1", "f1"]

    def _away_keys(self) -> list[str]:
        """To the particulars and back."""
        return ["f6", "down", "escape"]


def answers_of(case) -> dict[str, object]:
    """Return the answers of a case, to compare."""
    found: dict[str, object] = {grade.check: grade.grade for grade in case.grades}
    found |= {reading.check: reading.value for reading in case.readings}
    return found
