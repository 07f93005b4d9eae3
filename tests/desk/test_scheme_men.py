from __future__ import annotations

from gradecut.desk.scheme_men import side_words
from gradecut.scheme import FollowedSide, Position


def test_a_mans_side_reads_in_words() -> None:
    """The head of a column says whose left and right its rows speak of."""
    told = {
        "always left": "left",
        "no side": "none",
        "where he lines up": "as aligned",
        "strength side": FollowedSide(fact="strength"),
        "away from run strength": FollowedSide(fact="run_strength", opposite=True),
    }
    for words, side in told.items():
        assert side_words(Position(name="Keel", side=side)) == words  # type: ignore[arg-type]
