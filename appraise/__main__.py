"""The command `appraise`, also `python -m appraise`."""

import signal

# Until the command line is read, an interruption ends the process as it ends any other: without a traceback.
signal.signal(signal.SIGINT, signal.SIG_DFL)

from appraise.cli.parser import main  # noqa: E402

if __name__ == "__main__":
    raise SystemExit(main())
