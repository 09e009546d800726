"""The tables of wood, climate and strings refuse a user's row that breaks their rules."""

from __future__ import annotations

import pytest

from appraise.model.problem import Unreadable
from appraise.tables.load import load_tables

END = ",our assumption,none,,\n"
TAIL = ",standing,source,where,note\n"


@pytest.mark.parametrize(
    ("table", "head", "row", "says"),
    [
        ("woods", "key,label,radial,tangential", "mine,Mine,0.003,0.002", "at most tangential"),
        ("woods", "key,label,radial,tangential", "mine,Mine,0,0.002", "above 0"),
        ("sorption", "key,label,constant,linear,quadratic", "k3,K3,1,1,1", "one of w, k, k1, k2"),
        ("wire_grid", "key,diameter_in,low_ksi,high_ksi", "mine,0.031,400,300", "at most high_ksi"),
        ("wire_grid", "key,diameter_in,low_ksi,high_ksi", "mine,0.030,300,400", "one row for each diameter"),
        ("wire_strengths", "key,label,method", "mine,Mine,guess", "grid_low, grid_high, fit"),
        ("wire_strengths", "key,label,method", "mine,Mine,fit", "a_mpa, exponent"),
        ("wire_strengths", "key,label,method,a_mpa,exponent,from_mm,to_mm", "m,M,fit,2000,0.1,2,1", "less than to_mm"),
        ("tension_ceilings", "key,label,usual_pct,ceiling_pct", "mine,Mine,80,70", "at most ceiling_pct"),
        (
            "pitch_raises",
            "key,above_cents,up_to_cents,action,passes_low,passes_high",
            "x,60,80,A,1,1",
            "row before ends",
        ),
        ("pitch_raises", "key,above_cents,up_to_cents,action,passes_low,passes_high", "fine,0,5,A,2,1", "passes_high"),
        ("overpulls", "key,label,usual_cents,most_cents", "mine,Mine,20,10", "at most most_cents"),
        ("climate_limits", "key,label,rh_low,rh_high", "mine,Mine,50,50", "less than rh_high"),
        ("settling_times", "key,label,days_low,days_high,advice", "mine,Mine,9,3,Wait", "at most days_high"),
        ("reading_ranges", "key,label,unit,low,usual_low,usual_high,high", "m,M,mm,1,0,2,3", "at most usual_low"),
    ],
)
def test_a_broken_row_is_refused(tmp_path, table, head, row, says):
    (tmp_path / f"{table}.csv").write_text(head + TAIL + row + END)
    with pytest.raises(Unreadable) as caught:
        load_tables(tmp_path)
    assert says in str(caught.value)
