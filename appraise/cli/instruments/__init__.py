"""The instruments on the command line: one module each, with HELP, MORE, `options` and `measure`.

What a service refuses `measure` lets through; `cli.measure` turns it into a line of wrong use, for all of them.
"""
