from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from gradecut.desk.film_ticks import lost_stretches, lost_words
from gradecut.timebase import Frame


@given(st.frozensets(st.integers(0, 60)), st.integers(0, 30), st.integers(30, 60))
def test_stretches_hold_the_lost_frames_of_the_clip_and_no_other(
    lost: frozenset[int], first: int, last: int
) -> None:
    """Each lost frame once, stretches apart by at least one good frame, in order."""
    found = lost_stretches([Frame(one) for one in lost], Frame(first), Frame(last))
    held = [frame for begin, end in found for frame in range(begin, end + 1)]
    assert held == sorted(one for one in lost if first <= one <= last)
    ends = [end for _, end in found]
    begins = [begin for begin, _ in found[1:]]
    assert all(begin - end > 1 for end, begin in zip(ends, begins, strict=False))


def test_lost_frames_are_told_in_words() -> None:
    """One, one stretch, several."""
    assert lost_words([]) == ""
    assert lost_words([(Frame(7), Frame(7))]) == "Frame 7 can't be shown."
    assert lost_words([(Frame(7), Frame(9))]) == "Frames 7 to 9 can't be shown."
    both = [(Frame(7), Frame(7)), (Frame(20), Frame(33))]
    assert lost_words(both) == "Frames 7, 20 to 33 can't be shown."
