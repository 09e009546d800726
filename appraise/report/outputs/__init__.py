"""What the program prints as JSON, each output declared once: its JSON and its JSON Schema follow from the fields."""
