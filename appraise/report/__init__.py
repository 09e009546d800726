"""Writers: the rationale in plain sentences, one document, and its Markdown, JSON and terminal forms."""
