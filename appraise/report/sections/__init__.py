"""The sections of a report, one module a group; each function returns sections of literal text."""
