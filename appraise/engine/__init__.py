"""Pure functions from a frozen case and frozen tables to a valuation; no clock, file, locale or hidden state."""
