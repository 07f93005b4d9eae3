"""The thread that prepares what will be asked for, and stands still while that is answered."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gradecut.errors import Cancelled, FilmError
from gradecut.film.serving.giving_way import give_way
from gradecut.film.serving.memory import copied, look_the_same
from gradecut.film.serving.open_film import KeptPicture
from gradecut.film.serving.preparing import Job, jobs
from gradecut.film.serving.served import Served
from gradecut.film.serving.small_copies import shrink, small_width

if TYPE_CHECKING:
    import av

    from gradecut.film.decoding.picture import PictureMaker
    from gradecut.film.serving.open_film import OpenFilm
    from gradecut.film.serving.watched import Watched

__all__ = ["Background"]


class Background:
    """Does one job after another, the most urgent first; ``run`` is the whole of its thread."""

    def __init__(self, served: Served) -> None:
        self._served = served
        self._seen: Watched = served.watched
        self._done: set[Job] = set()
        self._vain: set[Job] = set()
        self._unopened: set[str] = set()

    def run(self) -> None:
        """Prepare until the server closes."""
        give_way()
        served = self._served
        while served.stand_still(self._may_not_wait) or not served.closing:
            version = served.version
            self._give_back()
            overgrown = served.films.take_overgrown(at_rest=served.rests_long)
            if overgrown is not None:
                self._close(overgrown)
                continue
            path = served.next_opening()
            if path is not None:
                self._open(path)
                continue
            job = self._next()
            if job is None:
                self._wait(version)
            elif job.number < 0:
                self._vain.add(job)
                self._open(job.path)
            elif self._do(job):
                self._done.add(job)

    def _give_back(self) -> None:
        self._served.freed.give_back(at_rest=self._served.rest_in_s() == 0)

    def _wait(self, version: int) -> None:
        """Wait for a change, or for the playhead to come to rest."""
        served = self._served
        with served.change:
            if served.version == version and not served.closing:
                served.change.wait(served.rest_in_s() or None)

    def _may_not_wait(self) -> bool:
        job = self._next()
        return job is not None and job.may_not_wait

    def _next(self) -> Job | None:
        """Return the most urgent job; one that was done without effect is not done again.

        What was done for what is watched now and is wanted again had no effect that lasts:
        where the pictures of a group don't all find room, two jobs would undo each other.
        """
        watched = self._served.watched
        if watched is not self._seen:
            same_clips = _extents(watched) == _extents(self._seen)
            self._vain = {job for job in self._vain if same_clips and job.lasting}
            self._seen = watched
            self._done.clear()
        at_rest = self._served.rest_in_s() == 0
        for job in jobs(watched, self._served, at_rest=at_rest):
            if job in self._done:
                self._vain.add(job)
            if job not in self._vain and not self._opens_not(job):
                return job
        return None

    def _opens_not(self, job: Job) -> bool:
        """Whether a job wants copies of a film that could not be opened, and that nobody has since.

        It may be wanted at a hundred frames; whoever asks for one of them is told why.
        """
        return job.copies and job.path in self._unopened and self._served.index(job.path) is None

    def _open(self, path: str) -> None:
        """Open a film ahead; what is wrong with it is told when a frame is asked for."""
        try:
            self._served.films.know(path, again=True)
        except FilmError:
            return

    def _close(self, overgrown: OpenFilm) -> None:
        """Close a decoder that holds much memory, and keep its pictures in memory of their own.

        Closed first, it gives back each picture as soon as it is copied. Pictures of which a
        copy would not look the same are let go of.
        """
        served, path = self._served, overgrown.path
        served.films.close_these([overgrown])
        same: bool | None = None
        for number in [number for number, _ in served.pictures.all_of(path)]:
            if not served.stand_still(lambda: False):
                break
            kept = served.pictures.get(path, number)
            if kept is None or kept.cache is not overgrown.cache:
                continue
            copy = copied(kept.picture)
            if same is None:
                same = look_the_same(overgrown.maker, kept.picture, copy)
            if same:
                served.pictures.exchange(path, number, kept, KeptPicture(picture=copy, cache=None))
            else:
                served.pictures.let_go(path, number)
        self._give_back()

    def _do(self, job: Job) -> bool:
        """Do a job and tell whether it was done: not given up for something better."""
        served = self._served
        kept = served.pictures.get(job.path, job.number) if job.copies else None
        if kept is not None:
            self._copy_kept(job, kept.picture)
            return True
        try:
            opened = served.films.take(job.path, job.number, front=False)
        except FilmError:
            self._vain.add(job)
            self._unopened.add(job.path)
            return True
        if opened is None:
            # The foreground has it: also what may not wait waits for that, without asking anew.
            served.stand_still(lambda: False)
            return False
        opened.goal = job.number
        try:
            opened.film.should_stop = lambda: self._is_to_stop(job, opened)
            opened.cache.on_picture = lambda number, picture, kept: self._came(
                opened, number, picture, wanted=job.copies or not kept
            )
            opened.film.native(job.number, whole=True)
        except Cancelled:
            return False
        except FilmError:
            return True
        finally:
            served.note_lost(opened)
            served.films.give(opened, front=False)
            self._give_back()
        return True

    def _is_to_stop(self, job: Job, opened: OpenFilm) -> bool:
        """Stand still while the foreground works, then tell whether to go on with a job.

        What the next clips begin with is decoded meanwhile, too: while a clip runs the foreground
        always works.
        """
        served = self._served
        if not job.may_not_wait:
            served.stand_still(lambda: opened.claimed or opened.awaited)
        if opened.awaited:
            return served.closing
        if opened.claimed or served.closing:
            return True
        if served.watched is self._seen:
            return False
        wanted = self._next()
        return wanted is None or not job.goes_on_as(wanted, self._group_of)

    def _group_of(self, path: str, number: int) -> int:
        index = self._served.index(path)
        return -1 if index is None or number < 0 else int(index.key_of[number])

    def _came(self, opened: OpenFilm, number: int, picture: av.VideoFrame, *, wanted: bool) -> None:
        """Take the small copy of a picture that comes by anyway."""
        path = opened.path
        served = self._served
        if wanted and not served.copies.holds(path, number) and served.watched.shows(path, number):
            self._copy(path, number, picture, opened.maker)

    def _copy_kept(self, job: Job, picture: av.VideoFrame) -> None:
        from gradecut.film.decoding.picture import PictureMaker

        known = self._served.films.known(job.path)
        if known is not None:
            self._copy(job.path, job.number, picture, PictureMaker(known.index.facts))

    def _copy(self, path: str, number: int, picture: av.VideoFrame, maker: PictureMaker) -> None:
        index = self._served.index(path)
        if index is None:
            return
        width = small_width(index.facts.width_px, index.facts.height_px)
        packed = shrink(maker, picture, width)
        if packed is not None:
            self._served.copies.put(path, number, packed, len(packed))


def _extents(watched: Watched) -> list[tuple[str, int, int]]:
    clips = (*watched.clips, *((watched.following,) if watched.following else ()))
    return [(clip.path, clip.first, clip.last) for clip in clips]
