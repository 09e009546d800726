"""Inputs chosen by the code they reach: atheris mutates bytes and keeps what takes a new path through the readers.

The package atheris is not among the project's dependencies: `pip install atheris`, where there is a wheel for the
Python at hand.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from random import Random


def guided(inputs: int, seed: int) -> int:
    """Try so many inputs and return the exit code.

    Args:
        inputs: How many, over all readers of files and the case reader.
        seed: Of the mutations.
    """
    try:
        import atheris
    except ImportError:
        print("guided fuzzing needs the package atheris: pip install atheris", file=sys.stderr)
        return 2
    with atheris.instrument_imports(include=["appraise.store", "appraise.tables", "appraise.services", "tomli"]):
        from appraise.model.problem import Unreadable
        from appraise.store.document import case_text, to_document
        from appraise.store.read import parse_case
        from appraise.tables.load import load_tables
        from tests.fuzz.run import SECONDS, fit_to_show, within
        from tests.fuzz.targets import file_readers

    tables, readers = load_tables(), file_readers()
    folder = Path(tempfile.mkdtemp(prefix="fuzz-guided-"))
    corpus = folder / "corpus"
    corpus.mkdir()
    _seeds(corpus)
    place = folder / "input.toml"

    def one(data: bytes) -> None:
        if not data:
            return
        target = data[0] % (len(readers) + 2)
        content = data[1:]
        with within(SECONDS):
            if target < len(readers):
                place.write_bytes(content)
                try:
                    readers[target].call(place, Random(0))
                except Exception as error:
                    if not readers[target].allows(error):
                        raise
                    if isinstance(error, Unreadable):
                        fit_to_show(error.problems, None)
                return
            text = content.decode("utf-8", "replace")
            case, problems = parse_case(text, tables, file="case.toml")
            fit_to_show(problems, text)
            if case is not None:
                again, _ = parse_case(case_text(case), tables, file="case.toml")
                assert again is not None
                assert to_document(again) == to_document(case)

    options = [f"-runs={inputs}", f"-seed={seed + 1}", "-max_len=4000", f"-artifact_prefix={folder}/", "-timeout=30"]
    atheris.Setup([sys.argv[0], *options, str(corpus)], one)
    atheris.Fuzz()
    return 0


def _seeds(corpus: Path) -> None:
    """Lay out a small good file for every reader to begin with."""
    import tomli_w

    from tests.fuzz import samples as known
    from tests.fuzz.targets import file_readers

    for number, content in enumerate(known.SEPARATED):
        for target in range(len(file_readers())):
            (corpus / f"s{number}-{target}").write_bytes(bytes((target,)) + content.encode())
    random = Random(0)
    for number in range(20):
        content = tomli_w.dumps(known.case(random)).encode()[:3900]
        (corpus / f"c{number}").write_bytes(bytes((len(file_readers()),)) + content)
