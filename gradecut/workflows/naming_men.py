"""Men nobody knows yet: put in as unknown, and named later everywhere at once."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, replace

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import AGE_NOT_TOLD, Clip, Grade, LineUp, Player, Rep, Session
from gradecut.workflows.blind import seen
from gradecut.workflows.line_ups import PutIn, put_in, substitute
from gradecut.workflows.periods import plays_of_period
from gradecut.workflows.play_words import plays_told

__all__ = ["Named", "UnknownMan", "name_man", "name_new_man", "put_in_unknown", "unknown_men"]

_UNKNOWN = "Unknown-"


@dataclass(frozen=True, slots=True, kw_only=True)
class UnknownMan:
    """One man to be named, with what is known of him.

    Attributes
    ----------
    positions : tuple of str
        Where he was in.
    sessions : tuple of (Session, plays)
        The plays he was in on, by their numbers.
    graded : int
        Reps of his that somebody has judged.
    """

    player: Player
    positions: tuple[str, ...]
    sessions: tuple[tuple[Session, tuple[int, ...]], ...]
    graded: int

    @property
    def words(self) -> str:
        """Where he was seen: "Keel on plays 3 to 7 of Tuesday"."""
        places = [f"{plays_told(plays)} of {home.name}" for home, plays in self.sessions]
        return f"{' and '.join(self.positions) or 'nowhere'} on {'; '.join(places) or 'no play'}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """What naming a man came to.

    Attributes
    ----------
    player : Player
        Who he is.
    reps, grades, plays : int
        What is his now.
    left : bool
        The unknown man stays on other plays.
    """

    player: Player
    reps: int
    grades: int
    plays: int
    left: bool = False


def put_in_unknown(
    book: Book, clip: Clip, position: str, *, onwards: bool = True
) -> tuple[Player, PutIn]:
    """Put a man nobody knows in at a position, from a clip on or on this clip only.

    The unknown man who stood there last in this period comes back; where he is in already, a
    further one comes.

    Raises
    ------
    BookError
        When a man who would have to go is already graded on this clip.
    """
    period = [one.id for one in plays_of_period(book, clip, whole=True)]
    rows = [row for row in book.find(LineUp, clip_id=period) if row.position == position]
    unknown = {man.id: man for man in book.find(Player, unknown=True)}
    here = {row.player_id for row in rows if row.clip_id == clip.id}
    back = [row.player_id for row in rows if row.player_id in unknown.keys() - here]
    man = unknown[back[-1]] if back else _new_unknown(book, unknown.values(), position)
    with book.act(f"put an unknown man in at {position}") as act:
        act.put(man)
        if onwards:
            came = substitute(book, clip, position, man)
        else:
            put_in(book, clip, position, man)
            came = PutIn(plays=(clip.order,))
    return man, came


def unknown_men(book: Book, session: Session | None = None) -> list[UnknownMan]:
    """Return the men still to be named, of one session or of all, in the order they came."""
    men = book.find(Player, unknown=True)
    reps = book.find(Rep, player_id=[man.id for man in men])
    rows = book.find(LineUp, player_id=[man.id for man in men])
    there: list[Rep | LineUp] = [*reps, *rows]
    clips = {clip.id: clip for clip in book.find(Clip, id=[one.clip_id for one in there])}
    grades = seen(book, book.find(Grade, rep_id=[rep.id for rep in reps]))
    graded = {one.rep_id for one in grades}
    homes = {home.id: home for home in book.find(Session)}
    found = []
    for man in men:
        stood = [one for one in there if one.player_id == man.id]
        plays: dict[str, set[int]] = {}
        for one in stood:
            clip = clips[one.clip_id]
            plays.setdefault(clip.session_id, set()).add(clip.order)
        if session is not None and session.id not in plays:
            continue
        found.append(
            UnknownMan(
                player=man,
                positions=tuple(dict.fromkeys(one.position for one in stood)),
                sessions=tuple((homes[key], tuple(sorted(plays[key]))) for key in plays),
                graded=sum(rep.id in graded for rep in reps if rep.player_id == man.id),
            )
        )
    return found


def name_man(
    book: Book, unknown: Player, known: Player, *, only: Collection[str] | None = None
) -> Named:
    """Say who an unknown man is; all that was recorded of him is the known man's, in one act.

    His reps keep their keys, so grades with all they superseded, what he did and owed, moments,
    marks, events, flags and pieces of reels follow.

    Parameters
    ----------
    only : collection of str or None
        Keys of the clips it is said of; None: everywhere, and the unknown man is gone.

    Raises
    ------
    BookError
        When he is no unknown man, or the known man is already in on one of those plays.
    """
    if not unknown.unknown:
        raise BookError(f"{unknown.name} has his name; only an unknown man can be named.")
    if known.unknown:
        raise BookError(f"{known.name} is not known himself; choose a man of the roster.")
    reps = book.find(Rep, player_id=unknown.id)
    rows = book.find(LineUp, player_id=unknown.id)
    mine = {rep.clip_id for rep in reps} | {row.clip_id for row in rows}
    wanted = mine if only is None else mine & set(only)
    if not wanted and mine:
        raise BookError(f"{unknown.name} is in on none of those plays.")
    _check_free(book, known, unknown, wanted)
    reps = [rep for rep in reps if rep.clip_id in wanted]
    left = wanted != mine
    with book.act(f"name {unknown.name} {known.name}") as act:
        act.put(*(replace(rep, player_id=known.id) for rep in reps))
        act.put(*(replace(row, player_id=known.id) for row in rows if row.clip_id in wanted))
        if not left:
            act.drop(Player, unknown.id)
    grades = book.count(Grade, rep_id=[rep.id for rep in reps])
    return Named(player=known, reps=len(reps), grades=grades, plays=len(wanted), left=left)


def name_new_man(book: Book, unknown: Player, name: str, number: str = "") -> Named:
    """Say that an unknown man is one who is not on the roster yet; he comes onto it.

    Until the roster tells his age he counts as under 18, so that nothing of him is shared.

    Raises
    ------
    BookError
        When no name is given, or somebody of the roster has it.
    """
    told = " ".join(name.split())
    if not told:
        raise BookError("Write his name first.")
    same = [man for man in book.find(Player) if man.name.casefold() == told.casefold()]
    if same:
        raise BookError(f"{same[0].name} is on the roster already; choose him there.")
    man = replace(
        unknown, name=told, practice_number=number, unknown=False,
        remark=f"{AGE_NOT_TOLD}: counts as under 18 until the roster says otherwise",
    )  # fmt: skip
    reps = book.find(Rep, player_id=unknown.id)
    with book.act(f"name {unknown.name} {told}") as act:
        act.put(man)
    grades = book.count(Grade, rep_id=[rep.id for rep in reps])
    return Named(player=man, reps=len(reps), grades=grades, plays=len({r.clip_id for r in reps}))


def _check_free(book: Book, known: Player, unknown: Player, clips: Collection[str]) -> None:
    """Refuse to name a man where the known one is in already: he can't be in twice."""
    there: list[Rep | LineUp] = [
        *book.find(Rep, player_id=known.id, clip_id=list(clips)),
        *book.find(LineUp, player_id=known.id, clip_id=list(clips)),
    ]
    if not there:
        return
    where: dict[tuple[str, str], set[int]] = {}
    at = {clip.id: clip for clip in book.find(Clip, id=[one.clip_id for one in there])}
    for one in there:
        clip = at[one.clip_id]
        where.setdefault((clip.session_id, one.position), set()).add(clip.order)
    told = "; ".join(
        f"{position} on {plays_told(plays)} of {book.get(Session, session).name}"
        for (session, position), plays in where.items()
    )
    raise BookError(
        f"{known.name} is already in at {told}, so he can't be {unknown.name} there as well; "
        "put him out there first, or name the man on the other plays only."
    )


def _new_unknown(book: Book, there: Collection[Player], position: str) -> Player:
    """Return an unknown man who is in nowhere; what is not known of him stays in the house."""
    ids = [man.id for man in there]
    used = {one.player_id for one in book.find(Rep, player_id=ids)}
    used |= {one.player_id for one in book.find(LineUp, player_id=ids)}
    free = [man for man in there if man.id not in used]
    if free:
        return replace(free[0], position=position)
    taken = [int(found[1]) for man in there if (found := re.fullmatch(r"Unknown-(\d+)", man.name))]
    return Player(
        name=f"{_UNKNOWN}{max(taken, default=0) + 1}",
        position=position,
        under_18=True,
        unknown=True,
        remark="nobody knows yet who he is",
    )
