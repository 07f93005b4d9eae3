"""The store: one book, opened, read, changed act by act, undone, backed up."""

from gradecut.book.book import Book
from gradecut.book.opening import open_book
from gradecut.book.schema import table_of

__all__ = ["Book", "open_book", "table_of"]
