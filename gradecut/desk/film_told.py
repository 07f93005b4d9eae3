"""What the film on stage tells of itself: whether it is the one that was added, its notes."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from os import stat
from typing import Protocol

from psygnal import Signal

from gradecut.desk.film_place import FilmPlace
from gradecut.desk.film_ticks import lost_stretches, lost_words
from gradecut.desk.jobs import Post
from gradecut.desk.playhead import Playhead
from gradecut.desk.second_angle import SecondAngle
from gradecut.errors import FilmError
from gradecut.records.fingerprint import Fingerprint

__all__ = ["FilmTold"]

_Key = tuple[str, int, int]
_CHANGED = "There is another film now where “{name}” was; show the folder it lies in now."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """What was read of one file: its fingerprint and notes, or why it can't be opened."""

    fingerprint: Fingerprint | None = None
    notes: tuple[str, ...] = ()
    fault: str = ""


class _OnStage(Protocol):
    """A stage whose film is checked."""

    @property
    def place(self) -> FilmPlace | None: ...

    @property
    def found(self) -> bool: ...

    def refuse(self, why: str) -> None: ...


class FilmTold:
    """Reads the films on stage in a thread of its own, again whenever a file has changed.

    A file that is not the film that was added is not shown.

    Signals
    -------
    changed
        More is known of the film on stage: its notes, or frames that are lost.

    Parameters
    ----------
    post : callable
        Runs what it is given in the window's thread.
    """

    changed = Signal()

    def __init__(self, head: Playhead, post: Post, say: Callable[[str], None]) -> None:
        self._head = head
        self._post = post
        self._say = say
        self._known: dict[_Key, _Told] = {}
        self._asked: set[_Key] = set()
        self._newest: _Key | None = None
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="film notes")
        self._closed = False
        self._stages: list[_OnStage] = [head]
        head.pictured.connect(lambda: self._check(head))

    def check_too(self, second: SecondAngle) -> None:
        """Check the film of the second angle as well."""
        self._stages.append(second)
        second.changed.connect(lambda: self._check(second))

    def close(self) -> None:
        """Stop; what is being read is not told any more."""
        self._closed = True
        self._pool.shutdown(wait=True, cancel_futures=True)

    def notes(self) -> tuple[str, ...]:
        """Return what is worth knowing of the film on stage, without dots at the end."""
        head = self._head
        told = None
        if self._newest is not None and head.place is not None and head.found:
            told = self._known.get(self._newest) if self._newest[0] == head.place.path else None
        lost = lost_words(lost_stretches(head.lost, head.first, head.last))
        notes = [note.rstrip(".") for note in told.notes] if told else []
        return (*notes, *([lost[:1].lower() + lost[1:].rstrip(".")] if lost else []))

    def fault_words(self) -> str:
        """Say why there is no picture on stage, and how far the damage goes; empty if there is."""
        head = self._head
        told, shown = head.fault, head.shown
        if told and shown is not None and shown in head.lost:
            around = [
                one for one in lost_stretches(head.lost, head.first, head.last)
                if one[0] <= shown <= one[1] and one[0] < one[1]
            ]  # fmt: skip
            return f"{told} {lost_words(around)}".rstrip()
        return told

    def tell(self) -> None:
        """Say what the film on stage is and tells of itself, and what can't be shown of it."""
        film = self._head.film
        if film is None:
            self._say("There is no film on the stage.")
            return
        rate = "" if film.rate is None else f", {float(film.rate):.4g} frames a second"
        what = f"{film.width} × {film.height} px{rate}, {float(film.duration_s):.1f} s"
        self._say(f"{film.name}: {'; '.join((what, *self.notes()))}.")

    def _check(self, stage: _OnStage) -> None:
        """Read a stage's file where it was not read yet as it is now, and judge it."""
        if self._head.playing or self._closed:
            return
        key = _key_of(stage)
        if stage is self._head:
            self._newest = key
        if key is None:
            return
        told = self._known.get(key)
        if told is not None:
            _judge(stage, told)
        elif key not in self._asked:
            self._asked.add(key)
            self._pool.submit(self._read, key)

    def _read(self, key: _Key) -> None:
        from gradecut.film import open_film

        try:
            with open_film(key[0], cache_bytes=0) as film:
                told = _Told(fingerprint=film.fingerprint, notes=film.notes)
        except FilmError as error:
            told = _Told(fault=error.reason)
        self._post(lambda: self._take(key, told))

    def _take(self, key: _Key, told: _Told) -> None:
        self._asked.discard(key)
        if self._closed:
            return
        if not told.fault:
            self._known[key] = told
        for stage in self._stages:
            if key == _key_of(stage):
                _judge(stage, told)
        self.changed.emit()


def _key_of(stage: _OnStage) -> _Key | None:
    """Return what tells the file on a stage from its next version; None without one."""
    place = stage.place
    if place is None or place.path is None or not stage.found:
        return None
    try:
        found = stat(place.path)
    except OSError:
        return None
    return place.path, found.st_size, found.st_mtime_ns


def _judge(stage: _OnStage, told: _Told) -> None:
    """Take a film off a stage that is not the one that was added."""
    film = stage.place.film if stage.place else None
    if film is None:
        return
    if told.fault:
        stage.refuse(told.fault[:1].upper() + told.fault[1:])
    elif told.fingerprint != film.fingerprint:
        stage.refuse(_CHANGED.format(name=film.name))
