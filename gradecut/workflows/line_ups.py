"""Who is in at which position: on one play, from it on, or for a whole period."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from gradecut.book import Book
from gradecut.book.acts import ActDraft
from gradecut.errors import BookError
from gradecut.records import (
    Clip,
    Grade,
    LineUp,
    Mark,
    Piece,
    Player,
    Rep,
    Side,
)
from gradecut.workflows.of_a_rep import OF_A_REP, by_clip
from gradecut.workflows.periods import plays_of_period

__all__ = [
    "PutIn",
    "is_untouched",
    "line_up_period",
    "put_in",
    "say_side",
    "substitute",
    "take_out",
    "touched",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class PutIn:
    """What putting a man in from a play on came to.

    Attributes
    ----------
    plays : tuple of int
        Where he is in at the position now.
    kept : tuple of int
        Plays where the man before stays, as something was said of him there.
    until : int or None
        The play where somebody said otherwise by hand, so that it ended before it.
    """

    plays: tuple[int, ...]
    kept: tuple[int, ...] = ()
    until: int | None = None


def put_in(book: Book, clip: Clip, position: str, player: Player, *, onwards: bool = False) -> Rep:
    """Put a player in at a position on this clip, or from it on; see ``substitute``.

    He leaves any other position he held there. The man before goes; what was marked of him,
    while nobody has graded it, was seen of the man who was there, and is the new man's now.

    Raises
    ------
    BookError
        When a man who would have to go is already graded on this clip, or something is said
        of him that can't be the new man's.
    """
    if onwards:
        substitute(book, clip, position, player)
    else:
        with book.act(f"put {player.short_name} in at {position}"):
            _put_in_here(book, clip, position, player)
    return book.find(Rep, clip_id=clip.id, position=position, player_id=player.id)[0]


def substitute(book: Book, clip: Clip, position: str, player: Player) -> PutIn:
    """Put a player in from a clip on to the end of its period, or until somebody said otherwise.

    Otherwise was said where a man was put in by hand who is not the one that was in on this
    clip; the script's word is a plan, and gives way. A later play where something was said of
    the man before keeps him.

    Raises
    ------
    BookError
        When a man who would have to go is already graded on this clip.
    """
    plays, until = _plays_until_otherwise(book, clip, position, player)
    with book.act(f"put {player.short_name} in at {position} from play {clip.order} on"):
        _put_in_here(book, clip, position, player, firm=True)
        kept = _put_in_on(book, plays[1:], position, player)
    done = tuple(one.order for one in plays if one.order not in kept)
    return PutIn(plays=done, kept=kept, until=until)


def line_up_period(book: Book, clip: Clip, men: Mapping[str, Player]) -> dict[str, PutIn]:
    """Put men in for the whole period a clip is of, each at his position, in one act.

    Each stands from the period's first play until somebody said otherwise by hand; plays
    where something was said of the man before keep him.

    Raises
    ------
    BookError
        When a man is to be at two positions.
    """
    twice = {man.id: man for man in men.values()}
    if len(twice) < len(men):
        ids = [man.id for man in men.values()]
        man = next(man for key, man in twice.items() if ids.count(key) > 1)
        at = [position for position, one in men.items() if one.id == man.id]
        raise BookError(f"{man.name} can't be {at[0]} and {at[1]} at once; choose another man.")
    first = plays_of_period(book, clip, whole=True)[0]
    came: dict[str, PutIn] = {}
    with book.act(f"line up {first.period or 'the session'}"):
        for position, man in men.items():
            plays, until = _plays_until_otherwise(book, first, position, man)
            kept = _put_in_on(book, plays, position, man)
            done = tuple(one.order for one in plays if one.order not in kept)
            came[position] = PutIn(plays=done, kept=kept, until=until)
    return came


def say_side(book: Book, rep: Rep, side: Side | None) -> Rep:
    """Keep the side a man lined up at on one play; None: the scheme says it.

    Of a man who lines up on either side it settles what he owes.
    """
    where = f"{rep.position} lined up {side}" if side else f"where {rep.position} lined up"
    with book.act(f"say that {where}" if side else f"take back {where}") as act:
        said = replace(book.get(Rep, rep.id), side=side)
        rows = book.find(
            LineUp, clip_id=said.clip_id, position=said.position, player_id=said.player_id
        )
        act.put(said, *(replace(row, side=side) for row in rows))
    return said


def take_out(book: Book, rep: Rep) -> bool:
    """Take a rep away with all that was said of it; one somebody has judged stays.

    What is drawn on him stays on the film, as nobody's.

    Returns
    -------
    bool
        Whether it is gone.
    """
    if book.count(Grade, rep_id=rep.id):
        return False
    with book.act("take a man out") as act:
        for kind in OF_A_REP:
            if kind is not Mark:
                act.drop_all(book.find(kind, rep_id=rep.id))
        act.put(*[replace(mark, rep_id=None) for mark in book.find(Mark, rep_id=rep.id)])
        act.drop(Rep, rep.id)
    return True


def is_untouched(book: Book, rep: Rep) -> bool:
    """Tell whether nobody has marked, said, judged or put into a reel anything of a rep."""
    return not touched(book, [rep])


def touched(book: Book, reps: Sequence[Rep], *, beside: Collection[type] = ()) -> set[str]:
    """Return the keys of those reps of which somebody has said anything, or that are in a reel.

    Parameters
    ----------
    beside : collection of type
        Kinds of records that do not count.
    """
    ids = [rep.id for rep in reps]
    if not ids:
        return set()
    kinds = [kind for kind in OF_A_REP if kind not in beside]
    return {row.rep_id for kind in kinds for row in book.find(kind, rep_id=ids) if row.rep_id}


def _plays_until_otherwise(
    book: Book, clip: Clip, position: str, player: Player
) -> tuple[list[Clip], int | None]:
    """Return the plays from a clip on that a word on one position reaches, and where it ends."""
    plays = plays_of_period(book, clip)
    rows = book.find(LineUp, clip_id=[one.id for one in plays], source="marked")
    told = by_clip(rows)
    here = told.get(clip.id, [])
    leaving = {rep.player_id for rep in book.find(Rep, clip_id=clip.id, position=position)}
    leaving |= {row.player_id for row in here if row.position == position}
    his_place = {row.position for row in here if row.player_id == player.id}
    for place, one in enumerate(plays[1:], start=1):
        for row in told.get(one.id, []):
            another = row.position == position and row.player_id not in {*leaving, player.id}
            moved = row.player_id == player.id and row.position not in {*his_place, position}
            if another or moved:
                return plays[:place], one.order
    return plays, None


def _put_in_here(
    book: Book, clip: Clip, position: str, player: Player, *, firm: bool = False
) -> None:
    """Put a man in on the clip that is looked at; one who is graded there forbids it."""
    reps = book.find(Rep, clip_id=clip.id)
    there = any((rep.position, rep.player_id) == (position, player.id) for rep in reps)
    leaving = _leaving(reps, position, player)
    for rep in leaving:
        if book.count(Grade, rep_id=rep.id):
            who = book.get(Player, rep.player_id).name
            raise BookError(
                f"{who} is already graded on play {clip.order}; take his grade back first."
            )
    spoken_of = touched(book, leaving)
    heir = next((rep for rep in leaving if _goes_over(rep, position, spoken_of, there)), None)
    for rep in leaving:
        if rep.id in spoken_of and rep is not heir:
            who = book.get(Player, rep.player_id).name
            raise BookError(
                f"{who} has words, marks or a reel's piece at {rep.position} on play {clip.order} "
                f"that can't be {player.name}'s at {position}; take those back first."
            )
    if heir is not None:
        with book.act("give what was marked to the man who was there") as act:
            act.put(replace(heir, player_id=player.id))
            # A reel's piece is titled with the man who was not in.
            act.drop_all(book.find(Piece, rep_id=heir.id))
        there = True
    for rep in leaving:
        if rep is not heir:
            take_out(book, rep)
    rows = book.find(LineUp, clip_id=clip.id)
    with book.act("change the line-up") as act:
        _write(act, clip, position, player, rows, there=there, firm=firm)


def _goes_over(rep: Rep, position: str, spoken_of: Collection[str], there: bool) -> bool:
    """Tell whether what was said of a man who goes was seen of the one who was there."""
    return not there and rep.position == position and rep.id in spoken_of


def _put_in_on(book: Book, plays: Sequence[Clip], position: str, player: Player) -> tuple[int, ...]:
    """Put a man in on later clips; return those where the man before stays, as he was spoken of."""
    ids = [one.id for one in plays]
    reps, rows = by_clip(book.find(Rep, clip_id=ids)), by_clip(book.find(LineUp, clip_id=ids))
    leaving = {key: _leaving(found, position, player) for key, found in reps.items()}
    going = [rep for found in leaving.values() for rep in found]
    spoken_of = touched(book, going)
    kept = []
    with book.act("change the line-up") as act:
        for one in plays:
            here = leaving.get(one.id, [])
            if any(rep.id in spoken_of for rep in here):
                kept.append(one.order)
                continue
            act.drop_all(here)
            there = any(
                (rep.position, rep.player_id) == (position, player.id)
                for rep in reps.get(one.id, ())
            )
            _write(act, one, position, player, rows.get(one.id, ()), there=there, firm=True)
    return tuple(kept)


def _leaving(reps: Sequence[Rep], position: str, player: Player) -> list[Rep]:
    """Choose the reps that go: of another man there, and of this man elsewhere."""
    return [rep for rep in reps if (rep.position == position) != (rep.player_id == player.id)]


def _write(
    act: ActDraft,
    clip: Clip,
    position: str,
    player: Player,
    rows: Sequence[LineUp],
    *,
    there: bool,
    firm: bool,
) -> None:
    """Say in the line-up who is in, and give him his rep where he has none.

    Parameters
    ----------
    firm : bool
        A person's word also where the script said the same: it no longer moves with that.
    """
    told = [row for row in rows if row.position == position or row.player_id == player.id]
    same = [(row.position, row.player_id) for row in told] == [(position, player.id)]
    if not same:
        act.drop_all(told)
        act.put(LineUp(clip_id=clip.id, position=position, player_id=player.id))
    elif firm:
        act.put(replace(told[0], source="marked"))
    if not there:
        act.put(Rep(clip_id=clip.id, player_id=player.id, position=position))
