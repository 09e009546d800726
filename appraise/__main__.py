"""The command `appraise`, also `python -m appraise`."""

import gc
import os
import signal

# Our matrices are small: threads of the linear algebra library cost more to start than they save.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Until the command line is read, an interruption ends the process as it ends any other: without a traceback. Where the
# process was started to be left alone, as by nohup, it stays so.
if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
    signal.signal(signal.SIGINT, signal.SIG_DFL)

from appraise.cli.parser import main as run


def main() -> int:
    """Run the command line of this process."""
    # A command makes much and ends soon: looking for circles after every few hundred objects finds none.
    gc.set_threshold(100_000, 50, 100)
    code = run(cached=True)
    gc.freeze()  # what is left goes with the process, and need not be looked through first
    return code


if __name__ == "__main__":
    raise SystemExit(main())
