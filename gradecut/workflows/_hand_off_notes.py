"""What a coach should know of a hand-off before he takes it, besides what differs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from gradecut.book import Book
from gradecut.records import Clip, Grade, Player, Rep, SchemeVersion
from gradecut.workflows._hand_off_clips import CLIP_NAMES
from gradecut.workflows._hand_off_journal import Journal, stamp_of
from gradecut.workflows._hand_off_merging import Merge
from gradecut.workflows.booking import book_info
from gradecut.workflows.play_words import plays_told

__all__ = ["notes_of"]


def notes_of(book: Book, merge: Merge) -> Iterator[str]:
    """Give what there is to know, one sentence each."""
    yield from _when(book, merge)
    yield from merge.places.notes
    yield from _men(book, merge)
    yield from _other_words(merge)
    yield from _other_scheme(book, merge)


def _when(book: Book, merge: Merge) -> Iterator[str]:
    told = merge.told
    taken, stamp = Journal(book, told.grader).newest_taken(), stamp_of(told.made_at)
    if taken > stamp:
        yield f"You took a later hand-off of his, of {taken}; this one is older."
    elif taken == stamp:
        yield "You took this hand-off before."
    if told.grader == book.author:
        yield "It is your own: it brings here what you graded elsewhere."


def _men(book: Book, merge: Merge) -> Iterator[str]:
    """Tell who comes in, and for whom."""
    places, in_place = merge.places, merge.in_place
    new = [places.players[one].name for one in places.new_players]
    if new:
        yield f"Not on your roster yet, and put in with it: {', '.join(sorted(new))}."
    clips = {clip.id: clip for clip in places.clips.values()}
    men = {man.id: man for man in (*book.find(Player), *places.players.values())}
    coming = {rep.id: rep for rep in in_place.put_reps}
    for rep, made_id in in_place.leaving:
        new_rep = coming[made_id]
        yield (
            f"{_play(clips[rep.clip_id])}: {men[new_rep.player_id].name} comes in at "
            f"{new_rep.position} for {men[rep.player_id].name}, of whom nobody has said anything."
        )
    for rep in in_place.named:
        if isinstance(rep, Rep):
            yield (
                f"{_play(clips[rep.clip_id])}: he knows the man at {rep.position}, "
                f"{men[rep.player_id].name}."
            )


def _other_words(merge: Merge) -> Iterator[str]:
    """Tell on which plays his book says something else that is no word of his own."""
    plays: defaultdict[tuple[str, str], list[int]] = defaultdict(list)
    for row in merge.clip_rows:
        if row.standing == "apart":
            plays[merge.places.sessions[row.clip.session_id].name, row.name].append(row.clip.order)
    for (session, name), orders in plays.items():
        yield (
            f"{session}, {plays_told(orders)}: his book has another {CLIP_NAMES[name]}, which he "
            "did not type; what is here stays."
        )


def _other_scheme(book: Book, merge: Merge) -> Iterator[str]:
    """Tell that his newest grade was given by other rules than those in force here."""
    scheme_id = book_info(book).scheme_id
    grades = [grade for grade in merge.told.of(Grade) if grade.scheme_id]
    if not grades or scheme_id is None:
        return
    his = merge.places.schemes[max(grades, key=lambda one: str(one.at)).scheme_id]
    if his.sha256 != book.get(SchemeVersion, scheme_id).sha256:
        name = " ".join(filter(None, (his.name, his.version))) or "another scheme"
        yield (
            f"His grades were given by {name}, which is not in force here; they keep the rules "
            "they were given by, and show as stale where yours ask something else."
        )


def _play(clip: Clip) -> str:
    return f"Play {clip.order}"
