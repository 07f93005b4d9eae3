"""Decoded frames for someone who must not wait, such as a window."""

from __future__ import annotations

from collections.abc import Sequence
from os import PathLike, fspath
from threading import Thread

from gradecut.film.serving.background import Background
from gradecut.film.serving.foreground import Foreground
from gradecut.film.serving.served import OnError, OnLost, OnReady, Post, Request, Served
from gradecut.film.serving.watched import ClipPlace
from gradecut.timebase import Frame

__all__ = ["FrameServer"]


class FrameServer:
    """Decodes frames in threads of its own and answers only the newest request of each lane.

    One thread answers requests; another prepares what will be asked for, and stands still
    while the first one works. They share the pictures they decode, under one budget for all
    films. Answers go to ``post``, which is to run what it is given in the asker's thread;
    an answer whose request was superseded is dropped, also when it was already posted.

    Parameters
    ----------
    post : callable
        Takes a callable without arguments and runs it where the asker wants it run; called
        from the decoding threads.
    budget_bytes : int, optional
        How many bytes of decoded pictures and small copies to keep in all; an eighth of the
        machine's memory, at most 512 MB, by default.
    on_lost : callable, optional
        Given a film's path and all its frames known to be lost, through ``post``, whenever
        more become known.
    """

    def __init__(
        self, post: Post, *, budget_bytes: int | None = None, on_lost: OnLost | None = None
    ) -> None:
        self._served = Served(post, budget_bytes, on_lost)
        self._threads = (
            Thread(target=Foreground(self._served).run, name="film", daemon=True),
            Thread(target=Background(self._served).run, name="film to come", daemon=True),
        )
        for thread in self._threads:
            thread.start()

    def open(self, path: str | PathLike[str]) -> None:
        """Open a film ahead of the first request; a fault is told when a frame is asked for."""
        self._served.open(fspath(path))

    def request(
        self,
        path: str | PathLike[str],
        frame: Frame,
        on_ready: OnReady,
        on_error: OnError,
        *,
        rough: bool = False,
        lane: str = "",
    ) -> None:
        """Ask for a frame; what the lane was asked before and isn't answered yet is dropped.

        Parameters
        ----------
        path : path
            The film.
        frame : Frame
            Which frame.
        on_ready : callable
            Given, through ``post``, the frame's number, its (H, W, 3) uint8 RGB array as
            displayed, and whether it is rough: enlarged from a small copy. A rough picture
            has the film's displayed shape, but at most 1920 px on its long side; of film
            larger than that it has fewer pixels than the film.
        on_error : callable
            Given the FilmError instead, through ``post``.
        rough : bool
            A rough picture will do where the true one is not decoded; ask again without it
            once there is time.
        lane : str
            Each lane's newest request is answered: "" the stage, "beside" the second angle.
        """
        self._served.ask(
            Request(
                path=fspath(path),
                frame=frame,
                on_ready=on_ready,
                on_error=on_error,
                rough=rough,
                lane=lane,
            )
        )

    def stay_near(self, path: str | PathLike[str], first: Frame, last: Frame, at: Frame) -> None:
        """Tell which clip is on stage and where it stands; cheap enough for every step.

        Pictures behind and ahead of it, then small copies of the clip, are prepared while
        nothing is asked for. A second clip of another film may be on stage beside it as
        long as frames of both are asked for.

        Parameters
        ----------
        path : path
            Its film.
        first, last : Frame
            The clip's frames, both in it.
        at : Frame
            The playhead.
        """
        self._served.look_at(
            ClipPlace(path=fspath(path), first=int(first), last=int(last), at=int(at))
        )

    def prefetch(self, path: str | PathLike[str], frame: Frame, first: Frame, last: Frame) -> None:
        """Tell which clip comes next, so that its first picture is there when asked for.

        Parameters
        ----------
        path : path
            Its film.
        frame : Frame
            The frame it will be entered at.
        first, last : Frame
            The clip's frames, both in it.
        """
        self._served.look_ahead(
            ClipPlace(path=fspath(path), first=int(first), last=int(last), at=int(frame))
        )

    def keep_ready(
        self,
        goals: Sequence[tuple[str, Frame]],
        *,
        at_rest: Sequence[tuple[str, Frame]] = (),
    ) -> None:
        """Tell which frames one key leads to, so that their pictures are there when asked for.

        Parameters
        ----------
        goals : sequence of (str, Frame)
            Film and frame, the likeliest first; a few. What was told before is forgotten.
        at_rest : sequence of (str, Frame)
            The same, where they follow the playhead: made ready once it stands.
        """
        self._served.keep_ready(
            tuple((path, int(frame)) for path, frame in goals),
            tuple((path, int(frame)) for path, frame in at_rest),
        )

    def keep_entries(self, entries: Sequence[tuple[str, Frame]]) -> None:
        """Tell where the clips he may turn to are entered: a small copy of each is kept.

        So a request that takes a rough picture has it at once, however far a decoder would have
        to go. Those of the first few are made before all else, the others once what lies nearer
        is there.

        Parameters
        ----------
        entries : sequence of (str, Frame)
            Film and frame, the likeliest first; some hundreds. What was told before is
            forgotten.
        """
        self._served.keep_entries(tuple((path, int(frame)) for path, frame in entries))

    def lost(self, path: str | PathLike[str]) -> frozenset[Frame]:
        """Return the frames of a film known so far not to be decodable."""
        return self._served.lost(fspath(path))

    def ready_share(self, path: str | PathLike[str], first: Frame, last: Frame) -> float:
        """Return the share, 0 to 1, of a clip's frames whose small copies are there.

        Frames that are lost count as there: they will never have one.
        """
        name, served = fspath(path), self._served
        numbers = range(first, last + 1)
        ready = sum(served.copy(name, number) or served.is_lost(name, number) for number in numbers)
        return ready / max(len(numbers), 1)

    def close(self) -> None:
        """Stop at the next packet and close the films; no answer comes afterwards."""
        self._served.close()
        for thread in self._threads:
            thread.join()
        self._served.let_go()

    @property
    def running(self) -> bool:
        """Whether a thread of it still runs."""
        return any(thread.is_alive() for thread in self._threads)
