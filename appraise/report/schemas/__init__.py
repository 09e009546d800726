"""What the program prints as JSON, described in JSON Schema 2020-12, one module a kind of object."""
