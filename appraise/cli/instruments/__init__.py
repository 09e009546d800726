"""The instruments on the command line: one module each, with HELP, MORE, `options` and `measure`."""
