"""Every JSON output by name: the version of its layout, the command that prints it, the module that declares it."""

from __future__ import annotations


class Published:
    """Description of an output without its fields."""

    def __init__(self, version: int, printed_by: str, module: str) -> None:
        """Note it.

        Args:
            version: Of its layout, raised when a key changes its meaning or goes.
            printed_by: The command that prints it.
            module: It declares the output by its name in capitals.
        """
        self.version, self.printed_by, self.module = version, printed_by, module


_VALUE, _RANK, _LOSS = (f"appraise.report.outputs.{name}" for name in ("value", "rank", "loss"))
_LISTINGS = "appraise.cli.listings"
_EVIDENCE = "appraise.report.outputs.evidence"

OUTPUTS = {
    "value": Published(2, "value CASE --json", _VALUE),
    "values": Published(2, "value CASE CASE… --json", _VALUE),
    "why": Published(2, "why CASE FIGURE --json", _VALUE),
    "report": Published(2, "report CASE -o FILE.json", _VALUE),
    "offer": Published(1, "report CASE --kind offer -o FILE.json", "appraise.report.outputs.sheets"),
    "work_order": Published(1, "report CASE --kind workorder -o FILE.json", "appraise.report.outputs.sheets"),
    "rank": Published(2, "rank … --json", _RANK),
    "rank_row": Published(2, "a line of rank … --jsonl FILE", _RANK),
    "rank_why": Published(2, "rank --why A B --json", _RANK),
    "look": Published(1, "look CASE [PART=GRADE …] --json", _LISTINGS),
    "missing": Published(1, "missing CASE… --json", _LISTINGS),
    "loss": Published(1, "loss BEFORE AFTER --json", _LOSS),
    "dossier": Published(1, "loss BEFORE AFTER -o FILE.json", _LOSS),
    "set_before": Published(1, "loss --set-before PURPOSE CASE --json", _LISTINGS),
    "check": Published(1, "check CASE… --json", _LISTINGS),
    "photos": Published(1, "photos CASE --json", _LISTINGS),
    "measure": Published(1, "measure MEASUREMENT … --json", _LISTINGS),
    "sales_list": Published(1, "sales list --json", _EVIDENCE),
    "sales_like": Published(1, "sales like --json", _EVIDENCE),
    "sales_learn": Published(1, "sales learn --json", _EVIDENCE),
    "sales_score": Published(1, "sales score --json", _EVIDENCE),
    "lives": Published(1, "lives CASE-or-FOLDER… --json", _EVIDENCE),
    "settings": Published(1, "settings --json", _LISTINGS),
    "sources": Published(1, "sources [TABLE] --json", _LISTINGS),
}
