"""What a practice knows from its own work: the book of sales, and what is learned from it and from its cases."""
