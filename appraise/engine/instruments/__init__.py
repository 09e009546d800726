"""The arithmetic of the instruments: pure functions over numbers, one subject a module."""
