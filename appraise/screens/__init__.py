"""The screens of the worksheet, each with its style sheet beside it."""
