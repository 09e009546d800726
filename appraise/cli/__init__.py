"""The commands: one module each, data on standard output, everything else on standard error."""
