"""Film in and out: the only room that opens or writes film."""

from gradecut.film.writer import write_film

__all__ = ["write_film"]
