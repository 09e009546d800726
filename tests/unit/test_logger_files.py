"""Data loggers' files: many layouts, one clear line where something is wrong, the fast way equal to the careful one."""

from __future__ import annotations

import datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.model.problem import Unreadable
from appraise.services.instruments.climate_log import follow_log, measure_log
from appraise.services.instruments.log_columns import read_columns
from appraise.services.instruments.log_file import LogHeader, read_each, read_log
from appraise.tables.load import load_tables

TABLES = load_tables()
T0 = (datetime.date(2026, 1, 31) - datetime.date(1970, 1, 1)).days * 86_400.0 + 14 * 3600 + 300


def log(tmp_path, content, **more):
    path = tmp_path / "log.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_log(path, TABLES, **more)


LAYOUTS = {
    "iso": "time,Temp (°C),RH %\n2026-01-31 14:05,20.5,41\n2026-01-31 15:05,20.5,42\n",
    "iso with T and seconds": "Timestamp,°C,%RH\n2026-01-31T14:05:00,20.5,41\n2026-01-31T15:05:00,20.5,42\n",
    "day first, semicolons, decimal comma": "Zeit;Temperatur [°C];Feuchte [%]\n31.01.2026 14:05;20,5;41,0\n"
    "31.01.2026 15:05;20,5;42,0\n",
    "tabs, other order": "RH(%)\tDate Time\tT°C temp\n41\t31/01/2026 14:05\t20.5\n42\t31/01/2026 15:05\t20.5\n",
    "fahrenheit": "time,Temperature(F),Humidity\n2026-01-31 14:05,68.9,41\n2026-01-31 15:05,68.9,42\n",
    "date and time apart": "Date,Time,Temp C,RH\n31/1/26,2:05 PM,20.5,41\n31/1/26,3:05 PM,20.5,42\n",
    "particulars above, more columns": "Logger,7\nSerial,0815\n\n#,Time,Temp °C,RH %,Dew point °C\n"
    "1,2026-01-31 14:05,20.5,41,6.8\n2,2026-01-31 15:05,20.5,42,7.1\n",
    "quotes": '"time","temp C","rh"\n"2026-01-31 14:05","20.5","41"\n"2026-01-31 15:05","20.5","42"\n',
    "offset": "time,temp C,rh\n2026-01-31T15:05:00+01:00,20.5,41\n2026-01-31T16:05:00+01:00,20.5,42\n",
    "old line ends and a mark": "\ufeffsep=;\r\ntime;temp C;rh\r\n2026-01-31 14:05;20.5;41\r\n"
    "2026-01-31 15:05;20.5;42\r\n",
    "clock set back": "time,temp C,rh\n2026-01-31 15:05,20.5,42\n2026-01-31 14:05,20.5,41\n",
    "underlines": "date_time,temperature_c,humidity_pct\n2026-01-31 14:05,20.5,41\n2026-01-31 15:05,20.5,42\n",
    "underlines, fahrenheit": "time,temp_f,rh_pct\n2026-01-31 14:05,68.9,41\n2026-01-31 15:05,68.9,42\n",
    "an empty cell": "time,temp C,rh\n2026-01-31 14:05,20.5,41\n2026-01-31 14:35,,\n2026-01-31 15:05,20.5,42\n",
}


@pytest.mark.parametrize("name", LAYOUTS)
def test_layouts_that_say_the_same(tmp_path, name):
    found = log(tmp_path, LAYOUTS[name])
    assert found.seconds.tolist() == [T0, T0 + 3600]
    np.testing.assert_allclose(found.temperature, [20.5, 20.5], atol=1e-9)
    assert found.humidity.tolist() == [41.0, 42.0]
    assert found.passed == (name == "an empty cell")
    assert found.moved == (name == "clock set back")


def test_month_first_when_told(tmp_path):
    text = "time,temp C,rh\n01/31/2026 14:05,20.5,41\n01/31/2026 15:05,20.5,42\n"
    assert log(tmp_path, text, month_first=True).seconds[0] == T0
    with pytest.raises(Unreadable) as caught:
        log(tmp_path, text)
    assert "--month-first" in str(caught.value)


def test_unit_when_told(tmp_path):
    text = "time,temperature,rh\n2026-01-31 14:05,68.9,41\n2026-01-31 15:05,68.9,42\n"
    assert log(tmp_path, text, unit="F").temperature[0] == pytest.approx(20.5)


HEAD = "time,temp C,rh\n2026-01-31 14:05,20.5,41\n"
WRONG = [
    ("", "an empty file", None),
    (b"time,temp C,rh\n2026,\xff,1\n", "not UTF-8", 2),
    (b"time,temp C,rh\n\0", "zero byte", 2),
    ("a,b,c\n1,2,3\n", "time or temperature or %RH", 1),
    ("time,temp C,pressure\n1,2,3\n", "none names %RH", 1),
    ("time,temperature,rh\n2026-01-31 14:05,20,41\n", "--unit C", 1),
    ("time,temp C,temp F,rh\n", "both be temperature", 1),
    (HEAD, "1 readings", None),
    ("time,temp C,rh\n", "0 readings", None),
    (HEAD + "2026-02-30 14:05,20,41\n", "2026-02-30", 3),
    (HEAD + "2026-02-03 25:05,20,41\n", "25:05", 3),
    (HEAD + "yesterday,20,41\n", "yesterday", 3),
    (HEAD + "2026-02-03 14:05,nan,41\n", "nan", 3),
    (HEAD + "2026-02-03 14:05,20,inf\n", "inf", 3),
    (HEAD + "2026-02-03 14:05,1_0,41\n", "1_0", 3),
    (HEAD + "2026-02-03 14:05,٢٠,41\n", "a number", 3),
    (HEAD + f"2026-02-03 14:05,20,{'9' * 400}\n", "a number", 3),
    (HEAD + "2026-02-03 14:05,20\n", "2 cells", 3),
    (HEAD + "2026-02-03 14:05,20,41,5,6\n", "5 cells", 3),
    (HEAD + "2026-02-03 14:05,20,141\n", "0 to 100 %", 3),
    (HEAD + "\n2026-02-03 14:05,220,41\n", "60 °C", 4),
    ("time,temp C,rh\n2026-01-31 14:05,20,0.41\n2026-01-31 15:05,20,0.42\n", "shares by 100", None),
    (HEAD + '2026-02-03 14:05,20,"41\n', "", 3),
]


@pytest.mark.parametrize(("content", "words", "line"), WRONG)
def test_one_line_for_a_file_that_cannot_be_used(tmp_path, content, words, line):
    with pytest.raises(Unreadable) as caught:
        log(tmp_path, content)
    (problem,) = caught.value.problems
    assert words in str(problem)
    assert "\n" not in str(problem)
    assert len(str(problem)) < 400
    assert problem.line == line


def test_terminal_control_in_a_cell_is_not_passed_on(tmp_path):
    with pytest.raises(Unreadable) as caught:
        log(tmp_path, HEAD + "\x1b[2J,20,41\n")
    assert "\x1b" not in str(caught.value)


@pytest.mark.parametrize("kind", ["folder", "none"])
def test_what_is_no_file(tmp_path, kind):
    with pytest.raises(Unreadable):
        read_log(tmp_path if kind == "folder" else tmp_path / "none.csv", TABLES)


ROW = st.tuples(
    st.datetimes(datetime.datetime(1971, 1, 1), datetime.datetime(2099, 12, 31)),
    st.decimals(-40, 60, places=2),
    st.decimals(0, 100, places=1),
)


@given(
    st.lists(ROW, min_size=1, max_size=20), st.sampled_from(["iso", "day", "month", "seconds"]), st.sampled_from(";,")
)
def test_the_fast_way_reads_what_the_careful_way_reads(rows, order, mark):
    pattern = {
        "iso": "%Y-%m-%d %H:%M", "seconds": "%Y/%m/%dT%H:%M:%S", "day": "%d.%m.%Y %H:%M", "month": "%m/%d/%Y %H:%M:%S"
    }[order]  # fmt: skip
    point = "." if mark == "," else ","
    body = "".join(
        f"{when.strftime(pattern)}{mark}{str(c).replace('.', point)}{mark}{str(h).replace('.', point)}\n"
        for when, c, h in rows
    )
    header = LogHeader(1, mark, 3, 0, None, 1, 2, False, ("t", "c", "h"))
    month_first = order == "month"
    *careful, passed = read_each(None, body, header, month_first=month_first)
    fast = read_columns(body.encode(), header, month_first=month_first)
    assert passed == 0
    assert fast is not None
    for one, other in zip(fast, careful, strict=True):
        assert one.tolist() == other


@pytest.mark.parametrize("cell", ["", "-", ".", "1.2.3", "+1", "1e3", "1-2", "--1", "nan", "12345678901234"])
def test_the_fast_way_leaves_odd_cells_alone(cell):
    header = LogHeader(1, ",", 3, 0, None, 1, 2, False, ("t", "c", "h"))
    body = f"2026-01-31 14:05,20.5,41\n2026-01-31 14:05,{cell},41\n".encode()
    assert read_columns(body, header, month_first=False) is None


def year(tmp_path, dry_days=20):
    rows = ["time,temp C,rh"]
    for hour in range(0, 365 * 24, 6):
        when = datetime.datetime(2025, 1, 1) + datetime.timedelta(hours=hour)
        rows.append(f"{when.isoformat(sep=' ')},20,{25 if hour < dry_days * 24 else 50}")
    return log(tmp_path, "\n".join(rows) + "\n")


def test_what_a_year_says(tmp_path):
    answer = measure_log(year(tmp_path), TABLES, width=1400.0)
    found = {figure.key: figure.value for figure in answer.outputs}
    assert found["too_dry_pct"] == pytest.approx(100 * 20 / 365, abs=0.1)
    assert found["outside_tolerable_pct"] == pytest.approx(found["too_dry_pct"])
    assert found["dry_spell_days"] == pytest.approx(19.75)
    assert found["humidity_mean_pct"] == pytest.approx((20 * 25 + 345 * 50) / 365, abs=0.05)
    assert found["moisture_swing_pct"] == pytest.approx(found["equilibrium_swing_pct"], rel=0.001)
    assert found["width_swing_mm"] == pytest.approx(1400 * 0.00148 * found["moisture_swing_pct"])
    (months,) = answer.grids
    assert [row[0] for row in months.rows] == [f"2025-{n:02}" for n in range(1, 13)]
    assert sum(row[1] for row in months.rows) == pytest.approx(364.75)
    assert months.rows[0][6] > 60
    assert months.rows[5][6] == 0


def test_wood_lags_behind_a_short_dry_spell(tmp_path):
    path = follow_log(year(tmp_path, dry_days=3), TABLES)
    assert np.ptp(path.moisture) < 0.7 * np.ptp(path.equilibrium)
    assert len(path.days) == len(path.weight) == len(path.moisture)


def test_order_of_rows_changes_nothing(tmp_path):
    rows = [f"2026-01-{day:02} 12:00,20,{30 + day}" for day in range(1, 29)]
    plain = measure_log(log(tmp_path, "time,temp C,rh\n" + "\n".join(rows)), TABLES)
    mixed = measure_log(log(tmp_path, "time,temp C,rh\n" + "\n".join(rows[::-1])), TABLES)
    assert plain.outputs == mixed.outputs
    assert any("set back" in text for text in mixed.says)


@pytest.mark.parametrize(
    ("day", "month_first", "option"),
    [("01/31/2026", False, "--month-first"), ("31/01/2026", True, "leave out --month-first")],
)
def test_a_day_in_the_other_order_names_the_option_that_reads_it(tmp_path, day, month_first, option):
    with pytest.raises(Unreadable) as refused:
        log(tmp_path, f"time,temp C,rh\n{day} 12:00,20,40\n", month_first=month_first)
    assert option in refused.value.problems[0].mend
