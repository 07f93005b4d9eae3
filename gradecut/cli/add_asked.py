"""What was asked of the command that adds film, and what of it does not go together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import cast

import typer

from gradecut.cli.doors import read_plays
from gradecut.records import SessionKind
from gradecut.workflows.card_adding import PairBy

__all__ = ["AddAsked"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AddAsked:
    """The words of one ``gradecut add``."""

    places: tuple[Path, ...]
    session: str
    angle: str
    kind: str
    day: str
    card: Path | None
    long: bool
    take: bool
    plays: Path | None
    plays_out: Path | None
    pair: str
    sync: bool
    check_pairing: bool
    script: Path | None
    from_play: int | None
    from_number: int | None
    without: str
    damaged: bool
    move: str
    drop: str
    roster: Path | None
    scheme: Path | None
    move_script: str
    check_script: bool

    @property
    def session_kind(self) -> SessionKind | None:
        """What a new session is; None when not told."""
        return cast("SessionKind", self.kind) if self.kind else None

    @property
    def pair_by(self) -> PairBy:
        """How a further angle is paired where order does not tell."""
        return cast("PairBy", self.pair)

    @property
    def missed(self) -> tuple[int, ...]:
        """Plays this angle has no film of."""
        return read_plays(self.without)

    @property
    def dropped(self) -> tuple[int, ...]:
        """Plays to take out of the book."""
        return read_plays(self.drop)

    @property
    def moved(self) -> tuple[int, int]:
        """From which play on, and by how many, an angle's films are moved."""
        return _read_move(self.move)

    @property
    def script_moved(self) -> tuple[int, int]:
        """From which play on, and by how many, what the script said is moved."""
        return _read_move(self.move_script)

    @property
    def adds_plays(self) -> bool:
        """Whether the plays of a long recording go into the book, not only on show."""
        return self.take or self.plays is not None

    def check(self) -> None:
        """Refuse what does not go together, and a word that would do nothing.

        Raises
        ------
        typer.BadParameter
            With one sentence.
        """
        for wrong in (*self._nothing_to_do(), *self._ways(), *self._words()):
            raise typer.BadParameter(wrong)
        if self.move:
            _ = self.moved
        if self.move_script:
            _ = self.script_moved
        _ = self.missed, self.dropped

    def _nothing_to_do(self) -> Iterator[str]:
        film = bool(
            self.places or self.script or self.move or self.drop or self.sync or self.check_pairing
            or self.move_script or self.check_script
        )  # fmt: skip
        if not (film or self.roster or self.scheme):
            yield "Name films, a script, a roster, a scheme, a move or plays to drop."
        only_shown = self.long and not self.adds_plays
        if film and not self.session and not only_shown:
            yield "Say which session with --session."

    def _ways(self) -> Iterator[str]:
        """Go through what a card and a long recording need."""
        if self.card is not None and self.long:
            yield "A card is copied and a recording is cut: use --card or --long, one at a time."
        if self.card is not None and len(self.places) != 1:
            yield "Name the card, one place, and the folder to copy it to: E:/ --card films/."
        if self.long and len(self.places) != 1:
            yield "Name the one film that is a long recording: practice.mp4 --long."
        if not self.long and (self.take or self.plays or self.plays_out):
            yield "--take, --plays and --plays-out go with --long; say that it is a recording."
        if [self.take, self.plays is not None, self.plays_out is not None].count(True) > 1:
            yield "Choose one of --take, --plays and --plays-out."
        if self.without and (self.card is not None or self.long):
            yield "--without goes with films named one for each play, not with --card or --long."
        if self.long and (self.damaged or self.from_play or self.from_number is not None):
            yield "--damaged, --from-play and --from-number do not go with --long."
        if self.long and self.pair == "proposed":
            yield "With --long there is no pairing to propose; use --pair order."

    def _words(self) -> Iterator[str]:
        """Go through words that would do nothing, and words nobody knows."""
        if not self.places and (self.kind or self.day or self.without or self.damaged):
            yield "--kind, --day, --without and --damaged go with films; name some."
        if not self.places and (self.pair or self.card is not None or self.long):
            yield "--card, --long and --pair go with films; name some."
        if self.script is None and (self.from_play is not None or self.from_number is not None):
            yield "--from-play and --from-number go with a --script; name one."
        if self.kind not in ("", "practice", "scrimmage", "game"):
            yield "A session is a practice, a scrimmage or a game."
        if self.pair not in ("", "proposed", "order"):
            yield "Pair as it is proposed or by order: --pair proposed, or --pair order."
        if self.pair and self.without:
            yield "--without says how films are paired; leave out --pair."
        if self.sync and self.long and not self.adds_plays:
            yield "--sync goes with plays that are added; say --take or --plays."
        if self.move and (self.card is not None or self.long):
            yield "Move films once they are added, without --card or --long."
        if self.drop and (self.places or self.script or self.move):
            yield "Drop plays by themselves: --session Tuesday --drop 7."
        try:
            date.fromisoformat(self.day or "2026-10-06")
        except ValueError:
            yield "Write the day as 2026-10-06."


def _read_move(text: str) -> tuple[int, int]:
    start, colon, by = text.partition(":")
    try:
        if colon:
            return int(start), int(by)
    except ValueError:
        pass
    raise typer.BadParameter("Write a move as FROM_PLAY:BY, such as 5:1 or 5:-1.")
