"""Film in and out: the only room that opens or writes film."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gradecut.film.film import Film, open_film
    from gradecut.film.film_facts import FilmFacts, describe_film
    from gradecut.film.film_folder import FILM_SUFFIXES, film_files, find_films
    from gradecut.film.fingerprints import fingerprint_of
    from gradecut.film.hearing.sound import Sound, read_sound
    from gradecut.film.indexing.index_store import index_films, offer_index, packed_index
    from gradecut.film.recorded import recorded_at
    from gradecut.film.sampling import sample_pictures
    from gradecut.film.serving.frame_server import FrameServer
    from gradecut.film.writing.bt709 import Bt709Maker, Picture
    from gradecut.film.writing.writer import write_film

__all__ = [
    "FILM_SUFFIXES",
    "Bt709Maker",
    "Film",
    "FilmFacts",
    "FrameServer",
    "Picture",
    "Sound",
    "describe_film",
    "film_files",
    "find_films",
    "fingerprint_of",
    "index_films",
    "offer_index",
    "open_film",
    "packed_index",
    "read_sound",
    "recorded_at",
    "sample_pictures",
    "write_film",
]

_HOMES = {
    "Bt709Maker": "writing.bt709",
    "FILM_SUFFIXES": "film_folder",
    "Film": "film",
    "FilmFacts": "film_facts",
    "FrameServer": "serving.frame_server",
    "Picture": "writing.bt709",
    "Sound": "hearing.sound",
    "describe_film": "film_facts",
    "film_files": "film_folder",
    "find_films": "film_folder",
    "fingerprint_of": "fingerprints",
    "index_films": "indexing.index_store",
    "offer_index": "indexing.index_store",
    "open_film": "film",
    "packed_index": "indexing.index_store",
    "read_sound": "hearing.sound",
    "recorded_at": "recorded",
    "sample_pictures": "sampling",
    "write_film": "writing.writer",
}


def __getattr__(name: str) -> object:
    """Load a module when first asked for one of its names: decoders are slow to load."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
