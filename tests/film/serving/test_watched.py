from __future__ import annotations

from gradecut.film.serving.watched import ClipPlace, Watched

STAGE = ClipPlace(path="end.mp4", first=100, last=300, at=200)
BESIDE = ClipPlace(path="side.mp4", first=0, last=200, at=90)
NEXT = ClipPlace(path="next.mp4", first=0, last=200, at=60)


def both() -> Watched:
    """Two angles side by side, and a clip that comes next."""
    shown = {"": ("end.mp4", 200), "beside": ("side.mp4", 90)}
    return Watched().with_shown(shown).with_clip(BESIDE).with_clip(STAGE).with_following(NEXT)


def test_the_picture_the_next_clip_is_entered_at_stays_longest() -> None:
    """It and what it runs on with are nearer than anything on stage; others of its film farther."""
    watched = both()
    entered = [watched.rank_of_picture("next.mp4", n) for n in (60, 61, 66)]
    on_stage = [watched.rank_of_picture("end.mp4", n) for n in (100, 200, 300)]
    assert entered[0] < min(entered[1:])
    assert max(entered) < min(on_stage)
    for number in (59, 67):
        assert watched.rank_of_picture("next.mp4", number) > max(on_stage)
    assert watched.rank_of_picture("gone.mp4", 0) > watched.rank_of_picture("next.mp4", 200)


def test_pictures_of_both_angles_count_by_their_own_playheads() -> None:
    """Each film's pictures are measured from where that film stands."""
    watched = both()
    here = watched.rank_of_picture("side.mp4", 90)
    assert here == watched.rank_of_picture("end.mp4", 200)
    assert watched.rank_of_picture("side.mp4", 200) > watched.rank_of_picture("end.mp4", 190)


def test_ahead_goes_before_behind() -> None:
    """As many frames ahead rank farther than behind, for pictures and copies alike."""
    watched = both()
    for rank in (watched.rank_of_picture, watched.rank_of_copy):
        assert rank("end.mp4", 210) > rank("end.mp4", 190)


def test_a_clip_no_longer_asked_for_leaves_the_stage() -> None:
    """Going on to another play of the same recording leaves the play before."""
    watched = Watched().with_clip(STAGE).with_shown({"": ("end.mp4", 200)})
    later = ClipPlace(path="end.mp4", first=900, last=1000, at=900)
    watched = watched.with_clip(later).with_shown({"": ("end.mp4", 900)})
    assert watched.clips == (later,)
    assert not watched.shows("end.mp4", 200)
    assert watched.shows("end.mp4", 950)


def test_two_clips_stay_while_both_are_asked_for() -> None:
    """Side by side, moving in one keeps the other prepared."""
    watched = both().with_clip(ClipPlace(path="end.mp4", first=100, last=300, at=199))
    assert [clip.path for clip in watched.clips] == ["end.mp4", "side.mp4"]


def test_what_one_key_leads_to_stays_before_what_lies_round_the_playhead() -> None:
    """The snap, or another angle at the same moment; a clip that moves on keeps them."""
    snap, moment = ("end.mp4", 130), ("side.mp4", 12)
    watched = both().with_goals((snap,), (moment,))
    for film, number in (snap, moment):
        assert watched.rank_of_picture(film, number) < watched.rank_of_picture("end.mp4", 200)
    moved = watched.with_clip(STAGE).with_shown(watched.shown).with_following(NEXT)
    assert (moved.goals, moved.goals_at_rest) == ((snap,), (moment,))
    assert watched.with_goals((), ()).rank_of_picture(*snap) > watched.rank_of_picture(
        "end.mp4", 200
    )


def test_where_other_clips_are_entered_stays_before_all_other_copies() -> None:
    """Their small copies are few, and each saves a jump its wait."""
    watched = both().with_entries((("far.mp4", 9), ("end.mp4", 5)))
    entered = watched.rank_of_copy("far.mp4", 9)
    assert entered == watched.rank_of_copy("end.mp4", 5)
    assert entered < watched.rank_of_copy("end.mp4", 200)
    assert watched.shows("far.mp4", 9)
    assert not watched.shows("far.mp4", 10)
    assert watched.rank_of_picture("far.mp4", 9) > watched.rank_of_picture("next.mp4", 200)
