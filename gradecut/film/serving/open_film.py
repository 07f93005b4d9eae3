"""A film that is open, what is known of it, and its part of the pictures kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock
from typing import TYPE_CHECKING, TypeAlias

from gradecut.film.decoding.frame_cache import Store, size_of

if TYPE_CHECKING:
    import av

    from gradecut.film.decoding.picture import PictureMaker
    from gradecut.film.film import Film
    from gradecut.film.indexing.frame_index import FrameIndex
    from gradecut.records.fingerprint import Fingerprint

__all__ = [
    "MOST_UNUSED_BYTES",
    "KeptPicture",
    "KnownFilm",
    "OpenFilm",
    "PictureStore",
    "SharedCache",
]

MOST_UNUSED_BYTES = 64 * 1024 * 1024
"""A decoder that holds more memory than this and gives nothing for it is closed."""

_PICTURES_IN_DECODER = 7
"""About how many pictures a decoder holds on to beside those it gave away."""


OnPicture = Callable[[int, "av.VideoFrame", bool], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownFilm:
    """A film that was opened before.

    Attributes
    ----------
    state : tuple of int
        Size in bytes and time of change of the file: another state is another film.
    """

    state: tuple[int, int]
    fingerprint: Fingerprint
    index: FrameIndex

    @property
    def picture_bytes(self) -> int:
        """About how much memory a decoded picture of it takes."""
        facts = self.index.facts
        a_picture = facts.coded_width_px * facts.coded_height_px * 3 // 2
        return a_picture * (2 if "10" in facts.pixel_format else 1)

    @property
    def decoder_bytes(self) -> int:
        """About how much memory a decoder of it takes."""
        return _PICTURES_IN_DECODER * self.picture_bytes


class SharedCache:
    """A film's part of the pictures kept for all, as one of its decoders sees it.

    Attributes
    ----------
    newest : int
        The frame the decoder handed out last, -1 before the first.
    kept, most_kept : int
        How many of its pictures are kept, and how many were at most. A decoder uses the
        memory of a picture again and gives none of it back before it is closed.
    on_picture : callable or None
        Told of every picture decoded: number, picture, whether it was kept.
    """

    def __init__(self, store: PictureStore, path: str) -> None:
        self._pictures = store
        self._path = path
        self.newest = -1
        self.kept = self.most_kept = 0
        self._counting = Lock()
        self.on_picture: OnPicture | None = None

    def __contains__(self, number: int) -> bool:
        return self._pictures.holds(self._path, number)

    def get(self, number: int) -> av.VideoFrame | None:
        """Return a frame's picture when it is kept."""
        found = self._pictures.get(self._path, number)
        return None if found is None else found.picture

    def put(self, number: int, picture: av.VideoFrame, playhead: int) -> None:  # noqa: ARG002  # its own are asked
        """Keep a picture when it is near enough to what is looked at."""
        self.newest = number
        kept = self._pictures.holds(self._path, number)
        if not kept:
            self.count(1)
            one = KeptPicture(picture=picture, cache=self)
            kept = self._pictures.put(self._path, number, one, size_of(picture))
        if self.on_picture is not None:
            self.on_picture(number, picture, kept)

    def count(self, more: int) -> None:
        """Count pictures kept, or let go of; any thread may let go of one."""
        with self._counting:
            self.kept += more
            self.most_kept = max(self.most_kept, self.kept)

    def clear(self) -> None:
        """Keep what there is: other decoders of the film go on using it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeptPicture:
    """A decoded picture, and the decoder whose memory it is in; None for its own."""

    picture: av.VideoFrame
    cache: SharedCache | None

    def let_go(self) -> None:
        """Tell the decoder that it may use the memory again."""
        if self.cache is not None:
            self.cache.count(-1)


PictureStore: TypeAlias = Store[KeptPicture]


@dataclass(slots=True, kw_only=True, eq=False)
class OpenFilm:
    """A film with a decoder of its own; used by one thread at a time.

    Attributes
    ----------
    used : bool
        Whether a thread has it in hand.
    claimed : bool
        Whether the foreground waits for it: whoever has it is to give it back.
    front : bool
        Whether the foreground had it last.
    goal : int
        The frame it is to be brought to; -1 while nobody has it in hand for one.
    awaited : bool
        Whether the foreground waits for just that frame: whoever has it is to go on.
    """

    path: str
    known: KnownFilm
    film: Film
    cache: SharedCache
    maker: PictureMaker
    used: bool = True
    claimed: bool = False
    front: bool = False
    goal: int = -1
    awaited: bool = False

    @property
    def unused_bytes(self) -> int:
        """How much memory its decoder holds of pictures that were let go of."""
        return (self.cache.most_kept - self.cache.kept) * self.known.picture_bytes

    @property
    def is_empty_hoard(self) -> bool:
        """Whether it lies idle and holds much memory, but no picture that is kept."""
        much = self.unused_bytes > MOST_UNUSED_BYTES
        return not self.used and self.cache.kept == 0 and much

    def helps(self, number: int) -> bool:
        """Whether decoding on from where it stands leads to a frame without going back."""
        index = self.known.index
        if self.cache.newest < 0 or not 0 <= number < len(index):
            return False
        first = int(index.first_of_key[index.key_of[number]])
        return first <= self.cache.newest + 1 <= number
