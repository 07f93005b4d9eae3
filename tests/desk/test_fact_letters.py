"""Each fact has a letter that stays the same on every play, and is one the coach can guess."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from gradecut.desk.fact_letters import fact_letters, reference_of
from gradecut.samples import week_folder
from gradecut.scheme import Scheme, load_scheme, parse_scheme


def scheme_of(facts: str) -> Scheme:
    """Make a scheme with these facts and one man."""
    return parse_scheme(f'{facts}\n[positions.Keel]\nside = "left"\n', "letters")


def fact(name: str, *, per_side: bool = False) -> str:
    """Write a fact as a scheme does."""
    more = "per_side = true\n" if per_side else ""
    return f'[facts."{name}"]\nvalues = ["ja", "nein"]\n{more}'


def test_facts_have_the_letters_a_coach_would_guess() -> None:
    """Strength S, back B, wing W, concept C, run R; the left surface L."""
    found = fact_letters(load_scheme(week_folder() / "harbor.toml"))
    assert {one: found[one] for one in ("strength", "back", "wing", "concept", "run")} == {
        "strength": "S", "back": "B", "wing": "W", "concept": "C", "run": "R",
    }  # fmt: skip
    assert found["surface.left"] == "L"
    assert found["surface.right"] not in {"S", "B", "W", "C", "R", "L"}


def test_a_letter_leads_back_to_its_fact_in_either_case() -> None:
    """What is typed finds the fact; a letter nobody has finds none."""
    scheme = load_scheme(week_folder() / "harbor.toml")
    assert reference_of(scheme, "r") == "run"
    assert reference_of(scheme, "R") == "run"
    assert reference_of(scheme, "Z") is None


def test_a_fact_added_at_the_end_takes_no_letter_from_another() -> None:
    """What his fingers know stays, though the file grows."""
    before = fact("motion") + fact("mesh") + fact("shift")
    old = fact_letters(scheme_of(before))
    new = fact_letters(scheme_of(before + fact("mike") + fact("strength")))
    assert {one: new[one] for one in old} == dict(old)


def test_a_man_who_lines_up_on_either_side_has_one_too() -> None:
    """His side is asked like a fact, by the first letter of his name."""
    scheme = parse_scheme('[positions.Keel]\nside = "as aligned"\n', "as aligned")
    assert dict(fact_letters(scheme)) == {"side.Keel": "K"}


def test_strokes_and_signs_are_no_letters_of_a_key() -> None:
    """Ökonomie is under O; a name of signs alone gets what is free."""
    found = fact_letters(scheme_of(fact("ökonomie") + fact("99")))
    assert found == {"ökonomie": "O", "99": "A"}


@given(
    st.lists(
        st.text("abcdefgh ijkß_ü", min_size=1, max_size=8).filter(lambda one: one.strip() != ""),
        min_size=1, max_size=20, unique=True,
    )
)  # fmt: skip
def test_no_two_facts_share_a_letter(names: list[str]) -> None:
    """Up to twenty-six facts each have their own, A to Z."""
    found = fact_letters(scheme_of("".join(fact(name) for name in names)))
    assert set(found) == set(names)
    assert len(set(found.values())) == len(names)
    assert all(one in "ABCDEFGHIJKLMNOPQRSTUVWXYZ" for one in found.values())
