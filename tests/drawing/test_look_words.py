from __future__ import annotations

from gradecut.drawing import look_words
from gradecut.records.picture import LookPicture, PictureMan


def test_the_picture_is_said_in_full() -> None:
    """Whoever can't see the picture hears the look, every man, and what is still open."""
    picture = LookPicture(
        surface_left=2, surface_right=3, back="behind", strength="right", run_side="right",
        concept="power", pullers=(("guard", "left"),), question="Did a second blocker pull?",
        men=(
            PictureMan(
                position="Keel", number="52", owed_gap="D", owed_side="right",
                owed_label="overlap D", did="fit", did_gap="B", did_side="right",
                did_label="fill B",
            ),
            PictureMan(
                position="Bow", number="9", owed_gap="D", owed_side="right",
                owed_label="spill D", did="as owed",
            ),
            PictureMan(position="Port", number="31", owed_label="fold A", did="cannot grade"),
            PictureMan(position="Stern", graded=False),
            PictureMan(position="Mast", owed_options=(("A", "left"),)),
        ),
    )  # fmt: skip
    assert look_words(picture) == (
        "Seen from behind the offence. Surface 2 left, 3 right; back behind the quarterback; "
        "strength right; left guard pulls. The run: power to the right. "
        "Keel 52 owes overlap D on the right; instead: fill B. "
        "Bow 9 owes spill D on the right, and did it. "
        "Port 31 owes fold A; can't be graded. "
        "Stern has no run fit to grade. "
        "Mast: what he owes is not settled. "
        "Still to ask: Did a second blocker pull?"
    )


def test_what_is_not_known_is_not_said() -> None:
    """Nothing is made up for facts nobody has told."""
    assert look_words(LookPicture()) == "Seen from behind the offence."
