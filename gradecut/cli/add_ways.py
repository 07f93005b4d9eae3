"""The ways film is added: films one a play, a camera card, one long recording; and sound."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, TypeVar

from gradecut.book import Book
from gradecut.cli.add_asked import AddAsked
from gradecut.cli.boundary import say, show_table, warn
from gradecut.counting_words import counted
from gradecut.errors import GradecutError
from gradecut.progress import Progress

if TYPE_CHECKING:
    from os import PathLike

    from gradecut.records import Stretch
    from gradecut.workflows.adding import Added
    from gradecut.workflows.pairing import Pairing
    from gradecut.workflows.second_recording import Beside

__all__ = [
    "STRETCH_COLUMNS",
    "add_card",
    "add_films",
    "add_recording",
    "match_sound",
    "stretch_rows",
    "tell_doubt",
]

T = TypeVar("T")
STRETCH_COLUMNS = ("play", "from", "to", "seconds", "sure", "why")


def add_films(book: Book, asked: AddAsked, progress: Progress) -> list[str]:
    """Add films, one a play; return what is to be said."""
    from gradecut.workflows.adding import add_film

    def add(pairing: Pairing | None) -> Added:
        return add_film(
            book,
            asked.places,
            session=asked.session,
            kind=asked.session_kind,
            day=asked.day,
            angle=asked.angle,
            script=asked.script,
            from_play=asked.from_play,
            from_number=asked.from_number,
            without=asked.missed,
            damaged=asked.damaged,
            pairing=pairing,
            by_order=asked.pair == "order",
            progress=progress,
        )

    added = _paired(add, asked)
    warn(*added.faults)
    return _told(added, asked)


def add_card(book: Book, asked: AddAsked, progress: Progress) -> None:
    """Copy a card and add its films as they come; say what it came to.

    Raises
    ------
    GradecutError
        Also where only some films could not be copied, after the others were told of.
    """
    from gradecut.workflows import card_adding

    assert asked.card is not None
    goal = asked.card

    def add(pairing: Pairing | None) -> card_adding.CardAdded:
        return card_adding.add_card(
            book,
            asked.places[0],
            goal,
            session=asked.session,
            kind=asked.session_kind,
            day=asked.day,
            angle=asked.angle,
            script=asked.script,
            from_play=asked.from_play,
            from_number=asked.from_number,
            damaged=asked.damaged,
            pair="proposed" if pairing is not None else asked.pair_by,
            progress=progress,
        )

    done = _paired(add, asked)
    say(done.copied.told())
    if done.added is not None:
        say(*_told(done.added, asked))
    else:
        say(*done.copied.notes)
    if done.faults:
        raise GradecutError("\n".join(done.faults))


def add_recording(book: Book, asked: AddAsked, progress: Progress) -> None:
    """Propose the plays of a long recording: show them, write them, or add them.

    Where the session's plays were cut from another camera's recording, they come from there.
    """
    from gradecut.workflows import cutting
    from gradecut.workflows.second_recording import lay_beside, propose_second

    path, notes = asked.places[0], list[str]()
    beside = None
    if asked.session:
        beside = lay_beside(book, path, session=asked.session, angle=asked.angle, progress=progress)
    if asked.plays is not None:
        sheet = cutting.read_stretches(asked.plays, path)
        plays, notes = sheet.plays, list(sheet.notes)
    elif beside is not None:
        found = propose_second(book, path, beside, progress)
        plays, notes = found.plays, list(found.notes)
    else:
        plays = cutting.propose_plays(path, progress)
    if asked.plays_out is not None:
        cutting.write_stretches(asked.plays_out, plays, path)
        shown = sum(one is not None for one in plays)
        say(
            *notes,
            f"{asked.plays_out}: {counted(shown, 'play')} proposed. Correct the times, then "
            f"give the sheet back with --plays {asked.plays_out}.",
        )
    elif not asked.adds_plays:
        show_table(STRETCH_COLUMNS, stretch_rows(plays, path))
        say(
            *notes,
            "Nothing was added. Add them with --take, or write them with --plays-out plays.csv, "
            "correct the sheet, and give it back with --plays plays.csv.",
        )
    else:
        added = _add_plays(book, asked, plays, beside, progress)
        say(*_told(added, asked), *(notes if asked.plays is not None else ()))


def _add_plays(
    book: Book,
    asked: AddAsked,
    plays: Sequence[Stretch | None],
    beside: Beside | None,
    progress: Progress,
) -> Added:
    """Add the plays of a recording; beside the first camera's where it is known."""
    from gradecut.workflows import cutting
    from gradecut.workflows.second_adding import NumbersAsked, add_second

    path, by_order = asked.places[0], asked.pair == "order"
    if beside is None:
        return cutting.add_recording(
            book, path, plays, session=asked.session, kind=asked.session_kind, day=asked.day,
            angle=asked.angle, script=asked.script, by_order=by_order, progress=progress,
        )  # fmt: skip
    try:
        return add_second(
            book, path, plays, beside, session=asked.session, kind=asked.session_kind,
            day=asked.day, angle=asked.angle, script=asked.script, confirmed=by_order,
            progress=progress,
        )  # fmt: skip
    except NumbersAsked as error:
        raise GradecutError(f"{error} Type the same again with --pair order for that.") from error


def match_sound(book: Book, asked: AddAsked, progress: Progress) -> None:
    """Put an angle of a session beside the other by sound, and say for which plays."""
    from gradecut.workflows.adding import find_session
    from gradecut.workflows.syncing import sync_angles

    done = sync_angles(book, find_session(book, asked.session), asked.angle, progress)
    heard = [str(one.play) for one in done.plays]
    if heard:
        many = len(heard) > 1
        whose = f"films of plays {', '.join(heard)} are" if many else f"film of play {heard[0]} is"
        say(f"The {asked.angle} {whose} beside the other{'s' if many else ''}.")
    say(*(f"Play {play}: {why}" for play, why in done.missed), *done.notes)


def tell_doubt(book: Book, asked: AddAsked, progress: Progress) -> None:
    """Say whether what is marked contradicts how an angle's films are paired."""
    from gradecut.workflows.adding import find_session
    from gradecut.workflows.pairing_doubts import check_pairing

    home = find_session(book, asked.session)
    doubt = check_pairing(book, home, asked.angle, listen=True, progress=progress)
    if doubt is None:
        say(f"Nothing marked contradicts how the {asked.angle} films are paired.")
    else:
        say(doubt.told, f"Look at them; --move {doubt.from_play}:{doubt.by} moves them.")


def stretch_rows(plays: Sequence[Stretch | None], path: str | PathLike[str]) -> list[list[object]]:
    """Return plays of a recording as rows of a table."""
    from gradecut.film import open_film
    from gradecut.workflows.cutting_sheets import clock_of

    rows: list[list[object]] = []
    with open_film(path) as film:
        for number, one in enumerate(plays, start=1):
            if one is None:
                continue
            start_s, stop_s = (
                film.time_of(film.frame_at_pts(pts)) for pts in (one.start_pts, one.stop_pts)
            )
            length_s = float(Fraction(stop_s - start_s))
            rows.append(
                [number, clock_of(start_s), clock_of(stop_s), f"{length_s:.1f}",
                 f"{one.confidence:.0%}", " ".join(one.why)]
            )  # fmt: skip
    return rows


def _told(added: Added, asked: AddAsked) -> list[str]:
    what = f"{counted(added.clips, 'new play')}, {counted(added.angles, f'{asked.angle} film')}"
    script = f", {added.scripted} matched to the script" if asked.script is not None else ""
    return [f"{added.session.name}: {what}{script}.", *added.notes]


def _paired(add: Callable[[Pairing | None], T], asked: AddAsked) -> T:
    """Add films; a pairing that is asked for is accepted, or shown with what to type."""
    from gradecut.workflows.pairing import PairingAsked

    try:
        return add(None)
    except PairingAsked as error:
        if asked.pair == "proposed":
            return add(error.pairing)
        _show_pairing(error.pairing)
        raise GradecutError(
            f"Order does not tell which play each {error.pairing.angle} film shows, so none was "
            "added. Type the same again with --pair proposed to take this pairing, with --pair "
            "order to go by order, or with --without and the plays that have no film."
        ) from error


def _show_pairing(pairing: Pairing) -> None:
    rows = [
        ["–" if play is None else play, "–" if path is None else path.name]
        for play, path in pairing.pairs
    ]
    show_table(("play", f"{pairing.angle} film"), rows)
    say(*pairing.reasons)
