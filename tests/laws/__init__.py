"""Laws of the value over random cases: a few in the tests, thousands with `python -m tests.laws`."""
