"""Currencies of ISO 4217 with their minor units, and rates of exchange between them.

The list is that of the standard's list one, from memory, without funds, metals and codes for tests; the tests compare
it with the currencies that the CLDR holds to be legal tender today.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date


_TWO = (
    "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY COP CRC "
    "CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD "
    "KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO "
    "NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL "
    "THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG"
)
_NONE = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"
_THREE = "BHD IQD JOD KWD LYD OMR TND"
_FOUR = "CLF UYW"

DIGITS: dict[str, int] = {
    code: digits for digits, codes in ((2, _TWO), (0, _NONE), (3, _THREE), (4, _FOUR)) for code in codes.split()
}
"""Decimals of every currency in use: the exponent of ISO 4217."""


def minor_digits(currency: str) -> int:
    """Return the decimals of a currency, two where it is not known."""
    return DIGITS.get(currency, 2)


@dataclass(frozen=True, slots=True)
class Rates:
    """Worth of a unit of other currencies on one day, from one source."""

    reference: str
    """ISO 4217."""
    day: date
    source: str
    units: Mapping[str, float]
    """Currency → units of the reference for one of it, as in the rates of imported sales; > 0."""

    def of(self, currency: str) -> float | None:
        """Return units of the reference for one of a currency; none where the table has no such rate."""
        return 1.0 if currency == self.reference else self.units.get(currency)
