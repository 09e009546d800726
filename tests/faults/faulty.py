"""A system whose calls fail, one at a time."""

from __future__ import annotations

import errno
import os

from appraise.store import files

ERRORS = (errno.ENOSPC, errno.EIO, errno.EACCES, errno.EINTR)

CALLS = tuple(name for name in vars(files.System) if not name.startswith("_"))
"""Every call that the store makes."""


class Faulty(files.System):
    """Counts its calls; the one whose number is `at` fails, and all after it where `lasting`."""

    def __init__(
        self, at: int = -1, error: int = errno.EIO, *, lasting: bool = False, short: bool = False, only=CALLS
    ) -> None:
        self.only = only
        self.at, self.error, self.lasting, self.short = at, error, lasting, short
        self.made: list[str] = []
        for name in CALLS:
            setattr(self, name, self._wrapped(name, getattr(files.System, name)))

    def _wrapped(self, name, real):
        def call(*arguments, **options):
            number = len(self.made)
            self.made.append(name)
            if name in self.only and (number == self.at or (self.lasting and number > self.at >= 0)):
                if self.short and name == "write":
                    return real(arguments[0], arguments[1][: max(1, len(arguments[1]) // 3)])
                if not self.short and name != "close":
                    raise OSError(self.error, os.strerror(self.error))
                if not self.short:
                    real(*arguments, **options)
                    raise OSError(self.error, os.strerror(self.error))
            return real(*arguments, **options)

        return call
