"""Invented sales, and files of them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from random import Random

from appraise.evidence.sale import Sale

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
