"""Millrace, a second whole scheme: eleven men, three down, every part of the language.

The playbook is told in words in `data/millrace.md`. `data/millrace_answers.csv` was written by
hand from those words, before any evaluator was asked; so were the partial looks below. Nothing in
them comes from gradecut.
"""

from __future__ import annotations

import csv
import random
import tomllib
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from gradecut.scheme import Scheme, load_scheme
from tests.scheme import plain_reading

DATA = Path(__file__).parent / "data"
MEN = (
    "Sluice", "Weir", "Paddle", "Hopper", "Chute", "Stone", "Bran", "Flume", "Race", "Reed", "Rush",
)  # fmt: skip
OTHER = {"left": "right", "right": "left"}
PLAIN: dict[str, Any] = {
    "strength": "right",
    "back": "left",
    "surface.left": 2,
    "surface.right": 3,
    "reduced.left": False,
    "reduced.right": False,
    "wing": "none",
    "concept": "zone",
    "run": "right",
    "path": "on course",
    "nose_gap": "left",
    "flume_spot": "down",
}
"""A zone run to a strength on the right; the tests below change one thing or two."""


@pytest.fixture(scope="module")
def millrace() -> Scheme:
    """Give the second scheme."""
    return load_scheme(DATA / "millrace.toml")


def _cases() -> list[dict[str, str]]:
    with open(DATA / "millrace_answers.csv", encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _look(written: str) -> tuple[dict[str, Any], str]:
    """Read a look of the table; give it with the side Flume lines up on."""
    look: dict[str, Any] = {}
    flume_side = ""
    flags = {"yes": True, "no": False}
    for part in written.split("; "):
        name, value = part.split("=")
        if name == "flume":
            flume_side, look["flume_spot"] = value.split()
        elif "/" in value:
            for side, one in zip(("left", "right"), value.split("/"), strict=True):
                look[f"{name}.{side}"] = flags[one] if one in flags else int(one)
        else:
            look[name] = flags.get(value, value)
    return look, flume_side


def _said(scheme: Scheme, man: str, look: dict[str, Any], side: str | None = None) -> str:
    """Write a settled answer as the table does: the fit, and its side where it has one."""
    said = scheme.expect(man, look, side)
    assert said.settled, said.reason
    return f"{said.fit} @{said.side}" if said.side else str(said.fit)


def _open(scheme: Scheme, man: str, look: dict[str, Any]) -> tuple[set[str], set[str]]:
    """Give an open answer: what is still possible, and what must be asked."""
    said = scheme.expect(man, look)
    assert not said.settled
    options = {f"{fit} @{side}" if side else str(fit) for fit, side in said.options}
    return options, set(said.needs)


@pytest.mark.parametrize("case", _cases(), ids=lambda case: case["case"])
def test_every_man_owes_what_the_table_says(millrace: Scheme, case: dict[str, str]) -> None:
    """16 whole looks, eleven men each: 176 cells written by hand."""
    look, flume_side = _look(case["look"])
    for man in MEN:
        side = flume_side if man == "Flume" else None
        assert _said(millrace, man, look, side) == case[man], man


def test_the_table_holds_176_cells_for_eleven_men(millrace: Scheme) -> None:
    """The scheme has the men of the table, and no other."""
    assert tuple(millrace.positions) == MEN
    assert sum(bool(case[man]) for case in _cases() for man in MEN) == 176


def test_it_is_sound(millrace: Scheme) -> None:
    """No hole, no overlap, no broken duty, and nothing in the file that says nothing."""
    audit = millrace.audit()
    assert audit
    assert audit.findings == ()


@pytest.mark.parametrize(
    ("back", "fit", "also"),
    [
        ("right", "fill other A", ()),
        ("left", "hang other A", ()),
        ("behind", "fill other A", ("hang other A",)),
        ("none", "hang other A", ()),
    ],
)
def test_base_fits_go_by_where_the_back_is(
    millrace: Scheme, back: str, fit: str, also: tuple[str, ...]
) -> None:
    """Run away from Stone, on the right: the back on his side, the other, behind, or none."""
    said = millrace.expect("Stone", PLAIN | {"run": "left", "back": back})
    assert (said.fit, said.side, said.also) == (fit, "right", also)


@pytest.mark.parametrize("run", ["left", "right"])
@pytest.mark.parametrize(
    ("attached", "owed"),
    [
        (2, ("force C", "over the top", "replace")),
        (3, ("force D", "fill C", "replace")),
        (4, ("force D", "fill C", "force E")),
    ],
)
def test_surfaces_of_two_three_and_four_on_either_side(
    millrace: Scheme, run: str, attached: int, owed: tuple[str, ...]
) -> None:
    """Edge, inside man and corner where the run goes count the blockers on that side alone."""
    men = ("Hopper", "Stone", "Rush") if run == "right" else ("Chute", "Bran", "Reed")
    for beyond in (2, 3, 4):
        surface = {f"surface.{run}": attached, f"surface.{OTHER[run]}": beyond}
        look = PLAIN | {"run": run} | surface
        found = tuple(millrace.expect(man, look).fit for man in men)
        assert found == owed


@pytest.mark.parametrize("wing", ["left", "right"])
def test_the_blocker_off_the_ball_stays_leads_or_crosses(millrace: Scheme, wing: str) -> None:
    """He leads to his side: spill and overlap. He crosses behind the run: box. He stays: base."""
    near = ("Hopper", "Stone") if wing == "right" else ("Chute", "Bran")
    far = "Chute" if wing == "right" else "Hopper"
    look = PLAIN | {"wing": wing, "motion": False, "run": wing, f"surface.{wing}": 3}
    leads = look | {"wing_goes": "leads"}
    assert [_said(millrace, man, leads) for man in near] == [
        f"spill C @{wing}",
        f"overlap D @{wing}",
    ]
    crosses = look | {"wing_goes": "crosses"}
    assert _said(millrace, far, crosses) == f"box the crosser @{OTHER[wing]}"
    stays = look | {"wing_goes": "stays"}
    assert [_said(millrace, man, stays) for man in (*near, far)] == [
        f"force D @{wing}",
        f"fill C @{wing}",
        f"trail C @{OTHER[wing]}",
    ]


def test_only_what_the_blocker_does_is_asked_where_he_could_cross(millrace: Scheme) -> None:
    """Run away from Chute with the blocker on the other side: one question is left."""
    look = {"strength": "right", "concept": "zone", "run": "right", "wing": "right"}
    options, needs = _open(millrace, "Chute", look)
    assert options == {"trail C @left", "box the crosser @left"}
    assert needs == {"wing_goes"}


def test_motion_changes_where_the_inside_man_lines_up(millrace: Scheme) -> None:
    """Blocker on his side: B; come there in motion: A; on the other side: A, but nearer."""
    look = PLAIN | {"strength": "left"}
    places = []
    ways: list[dict[str, Any]] = [
        {"wing": "left", "motion": False},
        {"wing": "left", "motion": True},
        {"wing": "right"},
    ]
    for changed in ways:
        place = millrace.expect("Stone", look | changed).alignment
        assert place is not None
        places.append((place.depth_yd, place.landmark, place.side))
    assert places == [(5, "B", "left"), (5, "A", "left"), (4.5, "A", "left")]
    assert millrace.expect("Stone", look | {"wing": "left"}).alignment is None


@pytest.mark.parametrize("nose", ["left", "right"])
def test_the_man_behind_takes_the_a_gap_the_nose_left(millrace: Scheme, nose: str) -> None:
    """One A gap each, whichever it is; until it is known, the nose's gap is asked for."""
    look = PLAIN | {"nose_gap": nose}
    assert _said(millrace, "Sluice", look) == f"nose A @{nose}"
    assert _said(millrace, "Bran", look) == f"fill other A @{OTHER[nose]}"
    del look["nose_gap"]
    assert _open(millrace, "Bran", look) == (
        {"fill other A @left", "fill other A @right"},
        {"nose_gap"},
    )
    assert _open(millrace, "Sluice", look) == ({"nose A @left", "nose A @right"}, {"nose_gap"})


def test_no_gap_is_left_to_fill(millrace: Scheme) -> None:
    """Two attached and a normal split: the end has B, the edge C, and he goes over the top."""
    said = millrace.expect("Bran", PLAIN | {"run": "left"})
    assert (said.fit, said.gap, said.side, said.rule) == ("over the top", None, None, "I2")


def test_reduced_splits_move_the_end_out_and_the_inside_man_in(millrace: Scheme) -> None:
    """The end takes C and Stone B; with split and surface open both are asked, and no more."""
    look = PLAIN | {"reduced.right": True}
    assert _said(millrace, "Weir", look) == "hold C @right"
    assert _said(millrace, "Stone", look) == "fill B @right"
    known = ("strength", "concept", "run", "path", "wing")
    options, needs = _open(millrace, "Stone", {name: PLAIN[name] for name in known})
    assert options == {"fill B @right", "over the top", "fill C @right"}
    assert needs == {"reduced.right", "surface.right"}
    rush = millrace.expect("Rush", {"reduced.right": True}).alignment
    assert rush is not None
    assert rush.depth_yd == 5


@pytest.mark.parametrize(
    ("path", "stone", "bran", "race"),
    [
        ("on course", "fill C @right", "fill other A @right", "last man"),
        ("bends back", "fill C @right", "fill home B @left", "last man"),
        ("bounces", "overlap D @right", "fill other A @right", "alley @right"),
    ],
)
def test_the_path_of_the_ball_overrides(
    millrace: Scheme, path: str, stone: str, bran: str, race: str
) -> None:
    """Where it bounces the near man is outside and Race comes up; where it bends back, Bran is."""
    look = PLAIN | {"path": path}
    found = [_said(millrace, man, look) for man in ("Stone", "Bran", "Race")]
    assert found == [stone, bran, race]


def test_race_needs_the_path_and_the_run(millrace: Scheme) -> None:
    """His alley is on the side of the run, so both are asked, and nothing else."""
    options, needs = _open(millrace, "Race", {"concept": "zone"})
    assert options == {"last man", "alley @left", "alley @right"}
    assert needs == {"path", "run"}


@pytest.mark.parametrize("run", ["left", "right"])
@pytest.mark.parametrize(
    ("here", "there", "owed"),
    [
        (0, 0, ["force D", "fill C", "fill other A"]),
        (1, 0, ["spill C", "overlap D", "follow the pull"]),
        (2, 0, ["spill C", "box the second", "follow the pull"]),
        (0, 1, ["force D", "fill C", "fill other A"]),
        (1, 1, ["spill C", "overlap D", "fill other A"]),
        (2, 1, ["spill C", "box the second", "fill other A"]),
        (0, 2, ["force D", "fill C", "fill other A"]),
    ],
)
def test_pullers_on_either_side_and_two_at_once_override(
    millrace: Scheme, run: str, here: int, there: int, owed: list[str]
) -> None:
    """Pullers with the run are met; one against it keeps the far man home."""
    pullers = {f"pullers.{run}": here, f"pullers.{OTHER[run]}": there}
    look = PLAIN | pullers | {"concept": "counter", "run": run, "back": OTHER[run]}
    look |= {f"surface.{run}": 3}
    men = ("Hopper", "Stone", "Bran") if run == "right" else ("Chute", "Bran", "Stone")
    assert [millrace.expect(man, look).fit for man in men] == owed


def test_pullers_are_asked_for_where_they_matter(millrace: Scheme) -> None:
    """The near man needs those on his side; the far man those that would keep him home."""
    look = {"strength": "left", "concept": "counter", "run": "left", "wing": "none"}
    look |= {"path": "on course", "back": "right"}
    near: dict[str, Any] = look | {"reduced.left": False, "surface.left": 3}
    assert _open(millrace, "Stone", near) == (
        {"fill C @left", "overlap D @left", "box the second @left"},
        {"pullers.left"},
    )
    assert _said(millrace, "Stone", near | {"pullers.left": 1}) == "overlap D @left"
    assert _open(millrace, "Bran", look | {"pullers.left": 1}) == (
        {"follow the pull @left", "fill other A @left", "fill other A @right"},
        {"nose_gap", "pullers.right"},
    )


def test_two_from_each_side_at_once_cannot_be(millrace: Scheme) -> None:
    """Nobody is left to block: the look is refused."""
    assert millrace.look_faults({"pullers.left": 2, "pullers.right": 2})


def _option(**changed: Any) -> dict[str, Any]:
    return PLAIN | {"concept": "option", "mesh": "right", "keeper": "quarterback"} | changed


def test_option_owners_change_when_a_blocker_releases_outside(millrace: Scheme) -> None:
    """Dive, quarterback, pitch: Stone, Hopper, Rush; with an arc: Bran, Stone, Hopper."""

    def owners(look: dict[str, Any]) -> dict[str, list[str]]:
        fits = {man: str(millrace.expect(man, look, None).fit) for man in MEN if man != "Flume"}
        return {
            what: [man for man, fit in fits.items() if what in millrace.fits[fit].owns]
            for what in ("dive", "quarterback", "pitch")
        }

    stays = _option(wing="right", motion=False, wing_goes="stays")
    assert owners(stays) == {"dive": ["Stone"], "quarterback": ["Hopper"], "pitch": ["Rush"]}
    arcs = stays | {"wing_goes": "arcs"}
    assert owners(arcs) == {"dive": ["Bran"], "quarterback": ["Stone"], "pitch": ["Hopper"]}
    elsewhere = arcs | {"wing": "left"}
    assert owners(elsewhere) == owners(stays)


def test_the_edge_man_goes_by_run_mesh_and_who_keeps_it(millrace: Scheme) -> None:
    """Mesh to him: two steps or three, by who keeps it; mesh away: the run alone tells."""
    ways = [
        ({"keeper": "back"}, "squeeze the mesh", 2),
        ({"keeper": "quarterback"}, "quarterback", 3),
        ({"keeper": "pitch man"}, "quarterback", 3),
        ({"keeper": "back", "run": "left"}, "squeeze the mesh", 2),
        ({"mesh": "left", "run": "right"}, "force D", None),
        ({"mesh": "left", "run": "left"}, "trail C", 4),
    ]
    for changed, fit, steps in ways:
        said = millrace.expect("Hopper", _option(**changed))
        assert (said.fit, millrace.fits[fit].steps) == (fit, steps), changed


def test_the_edge_man_is_asked_about_only_by_what_can_change_his_job(millrace: Scheme) -> None:
    """Mesh to him: who keeps it, and the blocker who might arc; without one, who keeps it."""
    look = {"strength": "left", "concept": "option", "mesh": "left"}
    options, needs = _open(millrace, "Hopper", look)
    assert options == {"squeeze the mesh", "quarterback", "widen"}
    assert needs == {"keeper", "wing", "wing_goes"}
    options, needs = _open(millrace, "Hopper", look | {"wing": "none"})
    assert (options, needs) == ({"squeeze the mesh", "quarterback"}, {"keeper"})
    pitch = {"concept": "option", "mesh": "right", "wing": "none"}
    assert _said(millrace, "Rush", pitch) == "pitch"


def test_one_position_lines_up_in_two_ways_with_rules_of_their_own(millrace: Scheme) -> None:
    """Flume down is in the alley or stays for the cutback; deep, he is the last man."""
    for spot, depth_yd, landmark, fits in (
        ("down", 6, "D", ("alley", "cutback alley")),
        ("deep", 12, "hash", ("last man", "last man")),
    ):
        look = PLAIN | {"flume_spot": spot}
        place = millrace.expect("Flume", look, "left").alignment
        assert place is not None
        assert (place.depth_yd, place.landmark, place.side) == (depth_yd, landmark, "left")
        found = tuple(millrace.expect("Flume", look, side).fit for side in ("right", "left"))
        assert found == fits


def test_the_side_a_man_lined_up_on_is_asked_for(millrace: Scheme) -> None:
    """Flume lines up on either side: untold, it is the one thing to ask."""
    look = {"flume_spot": "down", "concept": "zone", "run": "left"}
    assert _open(millrace, "Flume", look) == ({"alley @left", "cutback alley"}, {"side.Flume"})


def test_the_week_overrules_all_that_is_installed(millrace: Scheme) -> None:
    """Stretch with the back behind, and power to four attached: this week's jobs, told as such."""
    look = PLAIN | {"concept": "stretch", "back": "behind"}
    said = millrace.expect("Stone", look)
    assert (said.fit, said.tier, said.overrode) == ("run through C", "week", ("I3",))
    assert millrace.expect("Stone", look | {"back": "left"}).fit == "fill C"
    del look["back"]
    assert _open(millrace, "Stone", look) == ({"fill C @right", "run through C @right"}, {"back"})
    power = PLAIN | {"concept": "power", "surface.right": 4, "pullers.right": 1, "pullers.left": 0}
    said = millrace.expect("Hopper", power)
    assert (said.fit, said.overrode) == ("box D", ("E2", "E6"))


@pytest.mark.parametrize("concept", ["pass", "play fake"])
def test_passes_and_fakes_leave_nothing_to_grade(millrace: Scheme, concept: str) -> None:
    """All eleven are settled by the one word, none graded, nothing more asked."""
    for said in millrace.expect_all({"concept": concept}).values():
        assert (said.settled, said.graded, said.needs) == (True, False, ())


def test_a_fake_is_told_apart_from_a_pass(millrace: Scheme) -> None:
    """Linebackers have something to do on a fake, though nobody grades it."""
    assert _said(millrace, "Bran", {"concept": "play fake"}) == "read and drop"
    assert _said(millrace, "Bran", {"concept": "pass"}) == "no run fit"


def test_an_answer_says_what_would_have_turned_it(millrace: Scheme) -> None:
    """A player reads why: had nobody pulled, he would have filled C."""
    look = PLAIN | {"concept": "power", "pullers.right": 1, "pullers.left": 0}
    said = millrace.expect("Stone", look)
    assert "had nobody pulled" in said.reason
    assert "fill C" in said.reason


def _whole_look(written: dict[str, Any], chance: random.Random) -> dict[str, Any]:
    """Draw a look with every fact known, in the order of the file."""
    while True:
        look: dict[str, Any] = {"side.Flume": chance.choice(["left", "right"])}
        # What applies hangs on facts of the same look, some of them further down the file.
        for _ in range(2):
            for reference in plain_reading.references(written):
                fact = written["facts"].get(reference.partition(".")[0])
                if fact is None or reference in look:
                    continue
                if plain_reading.holds(written, look, fact.get("applies", {}), None):
                    look[reference] = chance.choice(fact["values"])
        if plain_reading.may_be(written, look):
            return look


def test_whole_looks_drawn_by_chance_are_answered_as_the_plain_reading_does(
    millrace: Scheme,
) -> None:
    """400 looks, eleven men: fit, side, rule, tier, what is right too, what was overridden."""
    chance = random.Random(400)
    written = tomllib.loads(millrace.text)
    for _ in range(400):
        look = _whole_look(written, chance)
        for man in MEN:
            said = millrace.expect(man, look)
            plain = plain_reading.answer(written, man, look)
            assert plain is not None
            assert {
                "option": (said.fit, said.side),
                "rule": said.rule,
                "tier": said.tier,
                "also": set(said.also),
                "overrode": set(said.overrode),
            } == plain, (man, look)
            place = said.alignment
            found = place and (place.depth_yd, place.landmark, place.side, place.tolerance_yd)
            assert found == plain_reading.alignment(written, man, look)


def test_partial_looks_drawn_by_chance_need_what_the_plain_reading_says(millrace: Scheme) -> None:
    """Two to four facts left out of a whole look: the same options, the same questions.

    Concept and wing stay told, so that what applies is the same in every completion.
    """
    chance = random.Random(12)
    written = tomllib.loads(millrace.text)
    for _ in range(30):
        whole = _whole_look(written, chance)
        loose = sorted(whole.keys() - {"concept", "wing"})
        unknown = chance.sample(loose, min(chance.choice([2, 3, 4]), len(loose)))
        look = {name: value for name, value in whole.items() if name not in unknown}
        ways = product(*(millrace.values_of(name) for name in unknown))
        looks = [look | dict(zip(unknown, way, strict=True)) for way in ways]
        looks = [one for one in looks if plain_reading.may_be(written, one)]
        for man in MEN:
            answers = [plain_reading.answer(written, man, one) for one in looks]
            options = [answer and answer["option"] for answer in answers]
            said = millrace.expect(man, look)
            assert set(said.options) == set(options)
            assert list(said.needs) == plain_reading.needs(written, looks, options), (man, look)
