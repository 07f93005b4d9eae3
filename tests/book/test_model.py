"""Whatever is put in, taken out, undone and done again, the book is what a plain list says."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from gradecut.book import open_book
from gradecut.errors import BookError
from gradecut.records import Player
from tests.book.invented_rows import texts

State = dict[str, object]
ids = st.sampled_from(["p1", "p2", "p3", "p4"])
changes = st.lists(
    st.one_of(
        st.builds(
            lambda i, name, yes: Player(id=i, name=name, consent=yes), ids, texts, st.booleans()
        ),
        st.tuples(ids),
    ),
    min_size=1,
    max_size=4,
)


class BookAgainstList(RuleBasedStateMachine):
    """A book of a few players beside a list of all its states."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = TemporaryDirectory()
        self.path = Path(self.folder.name) / "week.gradecut"
        self.book = open_book(self.path, create=True, author="Coach Alder")
        self.states: list[State] = [{}]
        self.at = 0

    @rule(changes=changes, fail=st.sampled_from([False, False, False, True]))
    def act(self, changes: list[Player | tuple[str]], fail: bool) -> None:
        """Put some in and take some out, or begin to and fail."""
        state = dict(self.states[self.at])
        for change in changes:
            if isinstance(change, Player):
                state[change.id] = change
            else:
                state.pop(change[0], None)
        if fail:
            with pytest.raises(BookError, match="keeps no"):
                self._do(changes, 7)
            return
        self._do(changes)
        if state != self.states[self.at]:
            self.states = [*self.states[: self.at + 1], state]
            self.at += 1

    def _do(self, changes: list[Player | tuple[str]], *more: object) -> None:
        with self.book.act("change players") as act:
            for change in changes:
                if isinstance(change, Player):
                    act.put(change)
                else:
                    act.drop(Player, change[0])
            act.put(*more)

    @rule()
    def undo(self) -> None:
        """Go one state back."""
        if self.at == 0:
            assert self.book.can_undo() is None
            return
        self.book.undo()
        self.at -= 1

    @rule()
    def redo(self) -> None:
        """Go one state on."""
        if self.at == len(self.states) - 1:
            assert self.book.can_redo() is None
            return
        self.book.redo()
        self.at += 1

    @rule()
    def reopen(self) -> None:
        """Close the book and open it again."""
        self.book.close()
        self.book = open_book(self.path, author="Coach Alder")

    @invariant()
    def same(self) -> None:
        """Hold just what the list says."""
        assert {player.id: player for player in self.book.find(Player)} == self.states[self.at]

    def teardown(self) -> None:
        """Take everything back, to the empty book."""
        while self.book.can_undo():
            self.book.undo()
            self.at -= 1
        assert self.at == 0
        assert self.book.find(Player) == []
        self.book.close()
        self.folder.cleanup()


TestBookAgainstList = BookAgainstList.TestCase
TestBookAgainstList.settings = settings(
    max_examples=25,
    stateful_step_count=20,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
