"""Film in and out: the only room that opens or writes film."""

from gradecut.film.bt709 import Bt709Maker, Picture
from gradecut.film.film import Film, open_film
from gradecut.film.film_facts import FilmFacts, describe_film
from gradecut.film.film_folder import FILM_SUFFIXES, film_files, find_films
from gradecut.film.fingerprints import fingerprint_of
from gradecut.film.frame_server import FrameServer
from gradecut.film.index_store import index_films, offer_index, packed_index
from gradecut.film.recorded import recorded_at
from gradecut.film.sampling import sample_pictures
from gradecut.film.sound import Sound, read_sound
from gradecut.film.writer import write_film

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
