"""JSON outputs, each declared once: JSON and JSON Schema follow from the fields."""
