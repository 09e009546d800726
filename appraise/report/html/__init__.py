"""The document as one HTML page that needs nothing beside itself."""
