from __future__ import annotations

from gradecut.desk.angles_by_sound import told_of_sound
from gradecut.workflows.syncing import Synced, SyncedPlay


def test_why_not_is_told_of_the_play_looked_at() -> None:
    """The coach sees play 2 and reads of play 2; the others are counted off after it."""
    why = "2.mp4 has no sound; mark the snap on both films instead."
    missed = ((1, "1.mp4 has no sound."), (2, why), (3, "Other."), (4, "Other."), (6, "Other."))
    synced = Synced(plays=(), missed=missed, notes=())
    assert told_of_sound(synced, "side", here=2) == (
        "Not on play 2: 2.mp4 has no sound; mark the snap on both films instead; "
        "nor on plays 1, 3, 4 and 6."
    )


def test_what_lies_by_sound_and_by_snaps_is_told_apart() -> None:
    """And of one play left nothing is listed twice."""
    plays = tuple(SyncedPlay(play=one, sigma_s=0.001, by="sound") for one in (1, 2, 3))
    snapped = SyncedPlay(play=4, sigma_s=0.0, by="snap")
    synced = Synced(plays=(*plays, snapped), missed=((5, "Too short."),), notes=())
    assert told_of_sound(synced, "side", here=1) == (
        "The side film lies beside the other by sound on plays 1 to 3; by the snaps on play 4; "
        "not on play 5: Too short."
    )
    nothing = Synced(plays=(), missed=(), notes=())
    assert told_of_sound(nothing, "side", here=1) == "No play of this session has two angles."
