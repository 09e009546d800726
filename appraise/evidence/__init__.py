"""Evidence from a practice's own work: the book of sales, and what is learned from it and from its cases."""
