"""The Film page: plays, the film on stage, the men and what is recorded of them."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from psygnal import Signal

from gradecut.book import Book
from gradecut.desk.clip_state import ClipState, read_clip
from gradecut.desk.film_marks import FilmMarks
from gradecut.desk.film_place import FilmPlace, same_time
from gradecut.desk.film_ticks import Ticks, read_ticks
from gradecut.desk.film_told import FilmTold
from gradecut.desk.hand import Hand
from gradecut.desk.hearing import Hearing
from gradecut.desk.jobs import Post
from gradecut.desk.judging_desk import Judging
from gradecut.desk.lining import Lining
from gradecut.desk.men_drawn import picture_of
from gradecut.desk.moving import Moving
from gradecut.desk.on_picture import OnPicture
from gradecut.desk.passing import Passing
from gradecut.desk.play_edges import PlayEdges
from gradecut.desk.play_reading import PlayReading
from gradecut.desk.playhead import Playhead
from gradecut.desk.plays_ahead import PlaysAhead, angle_named
from gradecut.desk.plays_around import PlaysAround
from gradecut.desk.rounds import Rounds
from gradecut.desk.running_on import RunningOn
from gradecut.desk.script_beside import ScriptBeside
from gradecut.desk.second_angle import ONE_ANGLE, SecondAngle, apart_words
from gradecut.desk.session_plays import SessionPlays
from gradecut.desk.telling import Telling
from gradecut.film import FrameServer
from gradecut.records import Angle, Clip, Session
from gradecut.records.picture import LookPicture
from gradecut.timebase import Frame

__all__ = ["FilmDesk"]


class FilmDesk:
    """What the Film page holds and does.

    Attributes
    ----------
    state : ClipState or None
        The play that is shown; None while the book has no play.
    plays : SessionPlays
        The sessions, and the plays of the one shown.
    playhead, moving
        The film on stage, and ways through it.
    second, hearing, told
        The angle beside it, its sound, and what the film tells of itself.
    rounds
        The round of reps looked at closely, if one goes on.
    passing, running_on
        Plays let through at speed, and plays that run by themselves when they are gone on to.
    on_picture
        What is done on the picture of the look.
    lining, script
        Who is in, and the script beside the plays.
    hand, judging, telling, edges, marks
        The man and the question in hand; what is recorded of him, and of the play; where the
        play begins and ends; what is drawn on film.

    Signals
    -------
    clip_changed
        Another play is shown.
    state_changed
        The play shown has changed in the book.
    fit_asked
        A fit that is not listed is to be named for the man in hand.

    Parameters
    ----------
    book : Book
    post : callable
        Runs what it is given in the window's thread.
    say : callable
        Shows a sentence.
    """

    clip_changed = Signal()
    state_changed = Signal()
    fit_asked = Signal()

    def __init__(self, book: Book, post: Post, say: Callable[[str], None]) -> None:
        self.book = book
        self.say = say
        self._angle_name = ""
        self._pictured: tuple[ClipState, str, int, LookPicture] | None = None
        self.state: ClipState | None = None
        self.plays = SessionPlays(book, post)
        self._server = FrameServer(post, on_lost=lambda _path, _frames: self.told.changed.emit())
        self._ahead = PlaysAhead(self)
        self._around = PlaysAround(book, self.plays, self._server, post)
        self.playhead = Playhead(self._server)
        self.told = FilmTold(self.playhead, post, say)
        self.second = SecondAngle(self.playhead, self._server, say)
        self.told.check_too(self.second)
        self.hearing = Hearing(self.playhead, post, say)
        self.hand = Hand(self)
        self.on_picture = OnPicture(self)
        self.judging = Judging(self)
        self.telling = Telling(self)
        self.edges = PlayEdges(self)
        self.marks = FilmMarks(book, self.playhead, say, self._following)
        self.moving = Moving(self)
        self.lining = Lining(self)
        self.script = ScriptBeside(self, post)
        self.rounds = Rounds(self)
        self.passing = Passing(self)
        self.running_on = RunningOn(self, post)
        self._reading = PlayReading(self, post)
        if self.plays.sessions:
            self.open_session(self.plays.sessions[0])

    @property
    def clip(self) -> Clip | None:
        """The play that is shown."""
        return self.state.clip if self.state else None

    def close(self) -> None:
        """Stop everything that runs."""
        self._reading.close()
        self.script.close()
        self._around.close()
        self.plays.close()
        self.hearing.close()
        self.second.close()
        self.playhead.close()
        self.told.close()
        self._server.close()

    def do(self, work: Callable[[], object], *, wide: bool = False, leaving: bool = False) -> bool:
        """Do something to the book; what is refused is said.

        Parameters
        ----------
        wide : bool
            It changes other plays than the one shown.
        leaving : bool
            Another play is shown next, so that this one need not be read again; where none is,
            ``read_again`` is called.

        Returns
        -------
        bool
            Whether it was done.
        """
        return self._reading.do(work, wide=wide, leaving=leaving)

    # ------------------------------------------------------------------ plays

    def open_session(self, session: Session) -> None:
        """Show a session at its first open play."""
        self.do(lambda: self._open_session(session))

    def open_rep(self, clip_id: str, rep_id: str = "") -> None:
        """Show a play of any session, with one of its men in hand where his rep is named."""
        self.do(lambda: self._open_rep(clip_id, rep_id))

    def show_where(self, clip_id: str, rep_id: str = "") -> None:
        """Show where something was done, unless that play is shown; in a round, go to the rep."""
        if self.rounds.holds(rep_id):
            self.rounds.show(rep_id)
        elif self.clip is None or self.clip.id != clip_id:
            self.open_rep(clip_id, rep_id)

    def open_clip(self, clip_id: str) -> None:
        """Show a play of this session."""
        self.do(lambda: self._open_clip(clip_id))

    def next_clip(self) -> None:
        """Show the next play; in a round the next rep."""
        if self.rounds.on:
            self.rounds.next()
            return
        self._go(1, "That was the last play")

    def previous_clip(self) -> None:
        """Show the play before; in a round the rep before."""
        if self.rounds.on:
            self.rounds.previous()
            return
        self._go(-1, "That is the first play")

    def next_open(self) -> None:
        """Show the next play that waits for a grade; in a round the next rep that does."""
        if self.rounds.on:
            self.rounds.next_left()
            return
        if self.state is None:
            return
        place = self.plays.line.place_of(self.state.clip.id) or 0
        boxes = self.plays.line.boxes
        for box in (*boxes[place + 1 :], *boxes[:place]):
            if box.waits:
                self._run_to(box.clip_id)
                return
        self.say("No other play of this session waits for a grade.")

    def pass_clip(self) -> None:
        """Let all open reps of this play through as right, and show the next.

        In a round: say that his rep was looked at closely, and go to the next one. With a tool
        of the film in hand: set its point.
        """
        if self.marks.pointing.set_point():
            return
        if self.rounds.on:
            self.rounds.look_at()
            return
        self.passing.let_through()

    def other_angle(self) -> None:
        """Show the same moment of the play from the next angle."""
        state, head = self.state, self.playhead
        if state is None or head.angle is None:
            return
        angles = state.timeline.angles
        place = [one.id for one in angles].index(head.angle.id)
        goal = angles[(place + 1) % len(angles)]
        if goal.id == head.angle.id:
            self.say(ONE_ANGLE)
            return
        at_s = head.time_of(head.frame)
        time_s = same_time(state.timeline, at_s, head.angle, goal)
        if time_s is None:
            self.say(apart_words(goal.name))
        self._angle_name = goal.name
        self.running_on.skip(goal)
        self._put_on_stage(state, goal, time_s)
        self._look_ahead(state.clip.id)
        self.hand_moved()

    def run_angle(self, angle: Angle) -> None:
        """Run another angle of the play from its entry; the one he chose stays his choice."""
        if self.state is not None:
            self._put_on_stage(self.state, angle, None)
            self.hand_moved()
            self.playhead.play()

    # ------------------------------------------------------------------ what is shown

    def picture(self) -> LookPicture | None:
        """Return the picture of the look, turned as the film is seen; None without a play."""
        state, position, turn = self.state, self.hand.position, self.on_picture.turn
        if state is None:
            return None
        kept = self._pictured
        if kept is None or kept[0] is not state or kept[1:3] != (position, turn):
            kept = self._pictured = state, position, turn, picture_of(state, position, turn=turn)
        return kept[3]

    def ticks(self) -> Ticks | None:
        """Return the strip below the stage; None without film."""
        if self.state is None:
            return None
        drawn = self.marks.stretches()
        return read_ticks(self.state, self.playhead, self.hand.man, drawn=drawn)

    def hand_moved(self) -> None:
        """Tell that another man or question is in hand."""
        self.marks.renew(self.state, self.hand.man)
        self.hand.changed.emit()

    def read_again(self) -> None:
        """Read the play shown again."""
        self.do(self._reading.read_play)

    def refresh(self) -> None:
        """Read everything anew, after another page or program has changed the book."""
        self._around.forget()
        self.do(self._reading.read_all)

    def show_again(self, state: ClipState) -> None:
        """Show the play as it was read again; its film stays where it stands."""
        self.state = state
        head = self.playhead
        angle = head.angle
        if angle is not None and any(one.id == angle.id for one in state.timeline.angles):
            head.renew(state.timeline, state.paths.get(angle.film_id))
            self.second.renew(state.timeline, state.paths)
        else:
            self._put_on_stage(state, angle_named(self._angle_name, state.timeline), None)
        self.marks.renew(state, self.hand.man)
        self.state_changed.emit()

    # ------------------------------------------------------------------ opening

    def _open_session(self, session: Session) -> None:
        self.plays.open(session)
        first = self.plays.first_waiting()
        if first is not None:
            self._open_clip(first)
            return
        self.state = None
        self.hand.free()
        self.clip_changed.emit()

    def _open_rep(self, clip_id: str, rep_id: str) -> None:
        clip = self.book.get(Clip, clip_id)
        if self.plays.session is None or clip.session_id != self.plays.session.id:
            self.plays.open(self.book.get(Session, clip.session_id))
        self._open_clip(clip_id)
        man = self.state.man_of_rep(rep_id) if self.state and rep_id else None
        if man is not None:
            self.hand.hold(man.position)

    def _open_clip(self, clip_id: str) -> None:
        playing = self.playhead.playing
        # What is drawn is put away while its play and its film are still there.
        self.marks.leave()
        state = self.state = read_clip(self.book, clip_id)
        self.hand.free()
        self._put_on_stage(state, angle_named(self._angle_name, state.timeline), None)
        self.plays.see(clip_id)
        self.marks.renew(state, None)
        self.clip_changed.emit()
        if playing:
            self.running_on.begin()
            self.playhead.play()
        self._look_ahead(clip_id)

    def _look_ahead(self, clip_id: str) -> None:
        """Have the plays after one made ready, and where the others are entered."""
        following = self._ahead.look(clip_id, self._angle_name)
        self._around.look(clip_id, self._angle_name, following)

    def _put_on_stage(self, state: ClipState, angle: Angle | None, at_s: Fraction | None) -> None:
        """Put an angle on stage, at a time of its film or at its entry."""
        head, line = self.playhead, state.timeline
        path = state.paths.get(angle.film_id) if angle else None
        if angle is None:
            head.show(line, None, None, Frame(0))
        elif at_s is None:
            head.show_entry(line, angle, path)
        else:
            place = FilmPlace(timeline=line, angle=angle, path=path)
            head.show(line, angle, path, place.nearest(at_s))
        head.stand_beside(state.paths)
        self.second.renew(state.timeline, state.paths)

    def _following(self) -> Clip | None:
        """Return the next play of this session; None after the last."""
        clip_id = self.plays.line.beside(self.state.clip.id, 1) if self.state else None
        return self.book.get(Clip, clip_id) if clip_id else None

    def _go(self, by: int, at_end: str) -> None:
        if self.state is None:
            return
        following = self.plays.line.beside(self.state.clip.id, by)
        if following is None:
            self.say(f"{at_end}: {self.plays.line.told_at_end()}")
        else:
            self._run_to(following)

    def _run_to(self, clip_id: str) -> None:
        """Show a play that was gone on to, and let it run where plays do so by themselves."""
        self.open_clip(clip_id)
        if not self.playhead.playing:
            self.running_on.begin()
