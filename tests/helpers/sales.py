"""Invented sales, and files of them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from math import exp
from random import Random

from appraise.evidence.sale import Sale

Z90 = 1.2815515655446004
HEAD = "date,kind,price,currency,made,class,grade,price new,sale,note\n"


def sale(**changes) -> Sale:
    """Return an invented sale."""
    known = {
        "date": date(2026, 3, 14),
        "kind": "grand",
        "price": Decimal("12500.50"),
        "currency": "EUR",
        "sale": "retail",
        "made": "1990",
        "maker": "Ostravell",
        "maker_class": "good",
        "size_cm": 178.0,
        "grade": 3.0,
        "price_new": Decimal("38000.00"),
    }
    return Sale(**(known | changes))


def valued(count: int, *, shift: float = 0.0, sd: float = 0.2, told: float = 0.2, seed: int = 3) -> list:
    """Return sales that were valued, prices lognormal about the middle moved by `shift`, ranges of `told`."""
    chance = Random(seed)
    found = []
    for k in range(count):
        middle = chance.uniform(1_000, 40_000)
        price = middle * exp(shift + chance.gauss(0, sd))
        ends = [Decimal(round(middle * exp(z * told), 2)).quantize(Decimal("0.01")) for z in (-Z90, 0, Z90)]
        made = {"price": Decimal(round(price, 2)).quantize(Decimal("0.01")), "kind": ("grand", "upright")[k % 2]}
        found.append(sale(**made, low=ends[0], middle=ends[1], high=ends[2], file_sha256=f"{seed}/{k}", line=0))
    return found


def write_many(path, count: int, seed: int = 1) -> None:
    """Write a file of as many sales, a line at a time."""
    chance = Random(seed)
    with path.open("w", encoding="utf-8") as stream:
        stream.write(HEAD)
        for number in range(count):
            kind, new = (("grand", 38_000), ("upright", 9_800))[number % 2]
            day = date.fromordinal(date(2021, 1, 1).toordinal() + number % 2000)
            made, price = chance.randrange(1930, 2015), round(new * chance.uniform(0.1, 0.7), 2)
            tier, basis = (
                chance.choice(("top", "good", "ordinary")),
                chance.choice(("retail", "private_sale", "auction")),
            )
            stream.write(
                f"{day},{kind},{price},EUR,{made},{tier},{chance.choice((2, 2.5, 3, 3.5))},{new},{basis},no {number}\n"
            )
