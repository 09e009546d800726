"""The command `appraise`, also `python -m appraise`."""

from appraise.cli.parser import main

if __name__ == "__main__":
    raise SystemExit(main())
