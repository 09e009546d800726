"""Good files of every kind that is read, small, so that many can be tried."""

from __future__ import annotations

import csv
import io
import re
from functools import cache
from typing import TYPE_CHECKING, Any

import tomli

from appraise.tables.folder import data_folder

if TYPE_CHECKING:
    from random import Random

SEPARATED = (
    "note,value\nA4,7.4\nC2,6.5 N·m\n46,6\n",
    "note;downweight (g);upweight\n40;52,5;26\n1;58;\n88;46;24\n",
    "7.4\n6.5\n\n6.9\n",
    "section,row,pin,torque\nbass,1,1,7.4\nbass,1,2,65 in·lb\ntreble,2,12,9\n",
    "date\tnote\tcents\ttemperature\thumidity\tremark\n"
    "2026-01-31\tA4\t-4\t20\t45\tnone\n2026-03-31\t49\t-6,5\t70 °F\t40\t\n",
    "date,note,cents\n2025-01-31,A4,-4\n2026-03-31,49,-6\n",
    "note,length_mm,diameter_mm,core_mm,wrap_mm,strings\nA4,400,1,,,3\nC2,1200,,1.1,0.9,2\n",
    "note,length_in,core_thou,wrap_thou,winding\n49,15.75,39,,\n4,48,45,60,copper\n",
    "time,Temp (°C),RH %\n2026-01-31 14:05,20.5,41\n2026-01-31 15:05,20.5,42\n",
    "Zeit;Temperatur [°C];Feuchte [%]\n31.01.2026 14:05;20,5;41,0\n31.01.2026 15:05;20,5;42,0\n",
    "Date,Time,Temp F,RH\n31/1/26,2:05 PM,68.5,41\n31/1/26,3:05 PM,69.5,42\n",
    'Logger,7\nSerial,0815\n\n#,"Time",Temp °C,RH %,Dew point °C\n'
    '1,"2026-01-31 14:05",20.5,41,6.8\n2,2026-01-31 15:05,20,42,7\n',
    "note,dip,blow,let_off\n1,10,46,2\n40,10.1,45,2\n",
    "note,reach,bleed\n1,1,0.2\n40,2,0.4\n",
)
"""Files of separated values as people and devices write them."""


@cache
def cases() -> tuple[dict[str, Any], ...]:
    """Return every sample case, as tables and values."""
    folder = data_folder("sample_cases")
    return tuple(tomli.loads(path.read_text(encoding="utf-8")) for path in sorted(folder.glob("*.toml")))


@cache
def values() -> list[object]:
    """Return every value of every sample case, to be put where it does not belong."""

    def below(node: object) -> list[object]:
        inner = node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
        return [node, *(value for item in inner for value in below(item))]

    return [value for case in cases() for value in below(case) if not isinstance(value, dict | list)]


def case(random: Random) -> dict[str, Any]:
    """Return a sample case of which every list has been cut to a few of its entries."""
    whole = random.choice(cases())
    cut = {key: _few(random, value) for key, value in whole.items()}
    if "market" in cut:
        cut["market"] = {key: _few(random, value) for key, value in cut["market"].items()}
    return cut


def _few(random: Random, value: Any) -> Any:
    if not isinstance(value, list) or len(value) <= 4:
        return value
    return random.sample(value, random.randrange(5))


@cache
def _tables() -> tuple[tuple[str, str], ...]:
    folder = data_folder("reference_tables")
    files = sorted(path for path in folder.rglob("*") if path.suffix in {".toml", ".csv"})
    return tuple((path.relative_to(folder).as_posix(), path.read_text(encoding="utf-8")) for path in files)


def table(random: Random) -> tuple[str, bytes | dict[str, Any]]:
    """Return the name of a table and a few of its rows: a document where it is TOML, text where it is CSV."""
    name, content = random.choice(_tables())
    if name.endswith(".toml"):
        document = tomli.loads(content)
        document["row"] = _few(random, document.get("row", []))
        return name, document
    lines = [line for line in content.splitlines() if not line.startswith("#")]
    kept = [lines[0], *random.sample(lines[1:], min(3, len(lines) - 1))]
    return name, "\n".join(kept).encode()


def separated(random: Random) -> bytes:
    """Return a file of separated values, sometimes with columns in another order."""
    content = random.choice(SEPARATED)
    mark = next((mark for mark in ";\t," if mark in content), None)
    if mark is None or random.random() < 0.6:
        return content.encode()
    rows = list(csv.reader(io.StringIO(content), delimiter=mark))
    order = random.sample(range(max(map(len, rows))), max(map(len, rows)))
    written = io.StringIO()
    csv.writer(written, delimiter=mark, lineterminator="\n").writerows(
        [row[n] for n in order if n < len(row)] for row in rows
    )
    return written.getvalue().encode()


def spoilt_cells(random: Random, content: bytes, hostile: str) -> bytes:
    """Return separated values with one cell replaced."""
    decoded = content.decode()
    places = [match.span() for match in re.finditer(r"[^,;\t\n]+", decoded)]
    if not places:
        return content
    start, end = random.choice(places)
    return (decoded[:start] + hostile + decoded[end:]).encode("utf-8", "replace")
