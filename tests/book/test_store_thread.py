"""One thread, and no other, works on the connection."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from gradecut.book import Book
from gradecut.errors import BookError


def test_all_work_is_done_on_one_thread(book: Book) -> None:
    """Whoever asks, the same thread answers, and it is not the one that asked."""
    with ThreadPoolExecutor(4) as pool:
        seen = set(
            pool.map(
                lambda _: book._store.call(lambda _connection: threading.current_thread().name),
                range(20),
            )
        )
    assert len(seen) == 1
    assert seen.pop().startswith("gradecut-book")


def test_errors_come_back_to_the_caller(book: Book) -> None:
    """What fails on the store thread is told to whoever asked, and the next one is served."""
    with pytest.raises(ZeroDivisionError):
        book._store.call(lambda _: 1 / 0)
    with pytest.raises(BookError, match="could not be used"):
        book._store.call(lambda connection: connection.exec_driver_sql("SELEKT"))
    assert book._store.call(lambda connection: connection.exec_driver_sql("SELECT 1").scalar()) == 1


def test_closing_ends_the_thread(book: Book) -> None:
    """A closed book leaves no thread behind."""
    name = book._store.call(lambda _: threading.current_thread().name)
    book.close()
    assert name not in {thread.name for thread in threading.enumerate()}
