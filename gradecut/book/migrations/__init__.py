"""Scripts that lead a book from one schema to the next."""
