"""Periods from a delivery: days and months against the calendar of the standard library."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from appraise.engine.loss.periods import days_after, months_after

DAYS = st.dates(date(1990, 1, 1), date(2090, 1, 1))


@given(DAYS, st.integers(0, 400))
def test_days_are_counted_as_the_calendar_does(start, days):
    assert days_after(start, days) == start + timedelta(days=days)


@given(DAYS, st.integers(1, 60))
def test_without_sundays_as_many_other_days_lie_between(start, days):
    last = days_after(start, days, sundays=False)
    assert last.weekday() != 6
    between = [start + timedelta(days=at) for at in range(1, (last - start).days + 1)]
    assert sum(day.weekday() != 6 for day in between) == days


@given(DAYS, st.integers(0, 120))
def test_months_keep_the_day_or_take_the_last_of_the_month(start, months):
    last = months_after(start, months)
    assert (last.year * 12 + last.month) - (start.year * 12 + start.month) == months
    assert last.day == start.day or (last + timedelta(days=1)).day == 1


def test_the_ends_of_months():
    assert months_after(date(2027, 5, 31), 9) == date(2028, 2, 29)
    assert months_after(date(2028, 2, 29), 12) == date(2029, 2, 28)
