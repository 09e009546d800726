"""Benchmarks that print ratios; nothing here is asserted and pytest collects none of it."""
