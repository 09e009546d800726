"""The document as a tagged PDF, set by Typst."""
