"""Currencies of ISO 4217: their codes and their minor units.

The list is that of the standard's list one, from memory, without funds, metals and codes for tests; the tests compare
it with the currencies that the CLDR holds to be legal tender today.
"""

from __future__ import annotations

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
