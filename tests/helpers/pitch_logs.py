"""Invented pitch logs."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from appraise.model.case import PitchReading

START = date(2022, 1, 10)
SUMMER = {0: 34, 1: 33, 2: 38, 3: 44, 4: 50, 5: 57, 6: 62, 7: 61, 8: 55, 9: 48, 10: 41, 11: 36}


def log(months, drift=0.0, season=0.0, *, noise=0.5, humid=True, notes=(49,), seed=1, every=2):
    """Invented readings: a drift a year, so many cents for a percent of humidity, a little scatter."""
    rng = np.random.default_rng(seed)
    return [
        PitchReading(
            START + timedelta(days=round(month * 30.44)),
            note,
            float(drift * month / 12 + season * (SUMMER[month % 12] - 45) + rng.normal(0, noise) + note / 4),
            20.0,
            float(SUMMER[month % 12]) if humid else None,
        )
        for month in range(0, months, every)
        for note in notes
    ]
