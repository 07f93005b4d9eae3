"""Fetching one decoded picture: quickly where the film is whole, carefully where it isn't."""

from __future__ import annotations

from collections.abc import Callable
from os import PathLike

import av
import numpy as np

from gradecut.errors import Cancelled, FilmError
from gradecut.film.decoding.decoding_ways import LENIENT, careful_way, quick_way
from gradecut.film.decoding.frame_cache import PictureCache
from gradecut.film.decoding.refusals import damaged_frame
from gradecut.film.decoding.runner import Runner
from gradecut.film.decoding.standing import Standing
from gradecut.film.indexing.frame_index import FrameIndex
from gradecut.records.fingerprint import Fingerprint

__all__ = ["Fetcher"]

_STEPS_BACK = (1, 3)
"""How many keys earlier to try when a frame comes out damaged: a film refreshed bit by bit
marks keys that only recover some frames later."""
_MOST_ALONE = 8
"""How many pictures damaged by themselves are left out of a group before the rest of it is
refused."""


class Fetcher:
    """Decodes frames of one film into a cache; belongs to one thread.

    The quick way decodes in several threads and, on a jump, leaves out pictures nothing
    else is built from. Where it meets any trouble, the frame's group is handed to the
    careful way for good, which alone decides what is refused.

    Attributes
    ----------
    refused : frozenset of int
        Frames that can't be decoded, as far as known.
    should_stop : callable or None
        Asked between packets.
    """

    def __init__(
        self,
        path: str | PathLike[str],
        index: FrameIndex,
        fingerprint: Fingerprint,
        cache: PictureCache,
    ) -> None:
        self._path = path
        self._index = index
        self._cache = cache
        self._standing = Standing(path, index, fingerprint)
        self._quick_way = quick_way(index)
        self._careful_way = careful_way(index)
        self._is_proved = self._careful_way == LENIENT
        self._quick: Runner | None = None
        self._careful: Runner | None = None
        self._troubled: set[int] = set()
        self._read_twice: set[int] = set()
        self._without: dict[int, frozenset[int]] = {}
        self._steps_back = 0
        self._last = -2
        self.refused: frozenset[int] = frozenset()
        self.should_stop: Callable[[], bool] | None = None

    def close(self) -> None:
        """Let go of the file."""
        for runner in (self._quick, self._careful):
            if runner is not None:
                runner.close()
        self._quick = self._careful = None

    def fetch(self, number: int, *, whole: bool = False, carefully: bool = False) -> av.VideoFrame:
        """Decode a frame.

        Parameters
        ----------
        number : int
        whole : bool
            Keep all of its group up to it, as stepping back will ask for it; stepping back
            is noticed without being told.
        carefully : bool
            Leave the quick way out.

        Raises
        ------
        FilmError
            When it is damaged, or the film went away.
        Cancelled
            When told to stop.
        """
        whole = whole or number + 1 in self._cache or number == self._last - 1
        self._last = number
        picture = None if number in self.refused else self._fetch(number, whole, carefully)
        if picture is not None:
            return picture
        raise damaged_frame(self._path, number)

    def _fetch(self, number: int, whole: bool, carefully: bool) -> av.VideoFrame | None:
        is_quick = self._quick_way is not None and not carefully
        try:
            if is_quick and int(self._index.key_of[number]) not in self._troubled:
                picture = self._fetch_quickly(number, whole=whole)
                if picture is not None:
                    return picture
            return self._fetch_carefully(number)
        except FilmError:
            # The film went away; the next call opens it anew.
            self.close()
            raise

    def _fetch_quickly(self, number: int, *, whole: bool) -> av.VideoFrame | None:
        if self._quick is None and self._quick_way is not None:
            self._quick = Runner(self._path, self._index, self._quick_way)
        if self._quick is None:
            return None
        key = self._key_for(number)
        picture = self._run_to(self._quick, number, key, keep_from=0 if whole else number)
        if picture is None:
            self._check_standing(number)
            self._troubled.add(int(self._index.key_of[number]))
        return picture

    def _key_for(self, number: int) -> int:
        return max(int(self._index.key_of[number]) - self._steps_back, 0)

    def _run_to(
        self, runner: Runner, number: int, key: int, *, keep_from: int
    ) -> av.VideoFrame | None:
        """Run to a frame, keeping what comes by; from the key only when that is nearer."""
        self._place(runner, number, key, keep_from)
        wanted: av.VideoFrame | None = None
        reached = False
        while not reached and not runner.ended:
            if self.should_stop is not None and self.should_stop():
                raise Cancelled("Decoding")
            for came, picture in runner.advance():
                reached = reached or came >= number
                if picture is not None:
                    self._cache.put(came, picture, number)
                    if came == number:
                        wanted = picture
        return wanted

    def _place(self, runner: Runner, number: int, key: int, keep_from: int) -> None:
        """Let a runner go on to a frame, or enter at the key when it can't or had better."""
        nearer = self._index.first_of_key[key] <= runner.next_number <= number
        if nearer and number >= runner.keep_from:
            runner.keep_from = max(runner.keep_from, keep_from)
            return
        without = self._without.get(int(self._index.key_of[number]), frozenset())
        runner.enter(key, keep_from=keep_from, without=without)

    def _fetch_carefully(self, number: int) -> av.VideoFrame | None:
        """Decode with every sign of damage; what comes out damaged is refused for good."""
        group = int(self._index.key_of[number])
        picture = self._run_carefully(number)
        if picture is None:
            self._check_standing(number)
            if group not in self._read_twice:
                # The file may have gone and come back under an open reader.
                self._read_twice.add(group)
                self.close()
                picture = self._run_carefully(number)
        if picture is None and not self._is_proved:
            self._is_proved = True
            if self._is_touchy():
                self.close()
                self._quick_way, self._careful_way = None, LENIENT
                picture = self._run_carefully(number)
        if picture is None:
            picture = (
                self._run_alone(number)
                or self._run_without(number)
                or self._run_from_earlier(number)
            )
        return picture

    def _is_touchy(self) -> bool:
        """Whether strictness takes every key picture for damaged: the film is made so."""
        runner = self._careful_runner()
        keys = len(self._index.keys)
        for key in {0, keys // 2, keys - 1}:
            runner.enter(key)
            runner.advance()
            if runner.first_damage(key) != self._index.keys.decode_at[key]:
                return False
        return True

    def _run_carefully(self, number: int) -> av.VideoFrame | None:
        key = self._key_for(number)
        return self._run_to(self._careful_runner(), number, key, keep_from=0)

    def _careful_runner(self) -> Runner:
        if self._careful is None:
            self._careful = Runner(self._path, self._index, self._careful_way)
        return self._careful

    def _run_alone(self, number: int) -> av.VideoFrame | None:
        """Leave out what comes after the frame's group: its pictures need none of that."""
        runner, key = self._careful_runner(), int(self._index.key_of[number])
        keys = self._index.keys
        if key + 1 >= len(keys) or self._key_for(number) != key:
            return None
        if self._index.decode_at[number] >= keys.decode_at[key + 1]:
            return None
        runner.enter(key, alone=True)
        picture = self._run_to(runner, number, key, keep_from=0)
        if picture is not None:
            # It would go on to nothing: to it the film ends with the group.
            runner.close()
            self._careful = None
        return picture

    def _run_without(self, number: int) -> av.VideoFrame | None:
        """Leave out pictures that are damaged by themselves, one after the other."""
        runner = self._careful_runner()
        group = int(self._index.key_of[number])
        left_out = self._without.get(group, frozenset())
        while len(left_out) < _MOST_ALONE:
            place = runner.damage_alone(group)
            if place is None or place > self._index.decode_at[number]:
                return None
            left_out = self._without[group] = left_out | {place}
            runner.enter(self._key_for(number), without=left_out)
            picture = self._run_carefully(number)
            if picture is not None or self._index.decode_at[number] in left_out:
                self._refuse(self._numbers_at(left_out))
                return picture
        return None

    def _run_from_earlier(self, number: int) -> av.VideoFrame | None:
        """Try again from keys before, and otherwise refuse the frame and what hangs on it."""
        runner = self._careful_runner()
        key = self._key_for(number)
        if number in self.refused:
            return None
        for steps in _STEPS_BACK:
            if steps > key and steps != _STEPS_BACK[0]:
                break
            earlier = max(key - steps, 0)
            runner.enter(earlier)
            picture = self._run_to(runner, number, earlier, keep_from=0)
            if picture is not None:
                self._steps_back += steps
                return picture
        self._check_standing(number)
        damaged = runner.first_damage(int(self._index.key_of[number]))
        self._refuse(self._hanging_on(min(damaged, int(self._index.decode_at[number])), number))
        return None

    def _hanging_on(self, place: int, number: int) -> list[int]:
        """Return the frames of a frame's group from a damaged place on in decode order."""
        group = self._index.key_of == self._index.key_of[number]
        return np.flatnonzero(group & (self._index.decode_at >= place)).tolist()

    def _numbers_at(self, places: frozenset[int]) -> list[int]:
        return [int(self._index.number_at[place]) for place in places]

    def _refuse(self, numbers: list[int]) -> None:
        self.refused = self.refused | frozenset(numbers)

    def _check_standing(self, number: int) -> None:
        """Tell a film that went away from damage."""
        self._standing.check(int(self._index.key_of[number]))
