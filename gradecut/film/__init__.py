"""Film in and out: the only room that opens or writes film."""

from gradecut.film.film import Film, open_film
from gradecut.film.index_store import index_films
from gradecut.film.writer import write_film

__all__ = ["Film", "index_films", "open_film", "write_film"]
