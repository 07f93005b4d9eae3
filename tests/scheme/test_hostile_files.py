"""Files that mean harm: each loads or is refused in a sentence, and none takes for ever."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.errors import LookError, SchemeError
from gradecut.samples import week_folder
from gradecut.scheme import Scheme, parse_scheme
from tests.scheme.spoilt_files import spoil, try_file

MEN = '[positions.K]\nside = "none"\n[fits.f]\njob = "x"\n[fits.g]\njob = "y"\n'
TWENTY = "".join(f'[facts.f{i}]\nvalues = ["a", "b", "c", "d"]\n' for i in range(20))


def _rules(count: int) -> str:
    return "".join(
        f'[[rules]]\nid = "r{i}"\nfor = ["K"]\nfit = "{"fg"[i % 2]}"\n'
        f'when = {{ f{i % 20} = "a", f{(i * 7 + 1) % 20} = "b" }}\n'
        for i in range(count)
    )


def _whole(scheme: Scheme) -> dict[str, object]:
    return {reference: scheme.values_of(reference)[0] for reference in scheme.references}


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("".join(f"{i:x}=1\n" for i in range(250_000)), 150_001, "too many"),
        ("x = { " + ", ".join(f"k{i}=1" for i in range(160_000)) + " }", 1, "too many"),
        ("[facts.a]\nvalues = [" + "1," * 900_000 + "]", 2, "too many"),
        ("\n".join(".".join(["a"] * 19) + f".k{i} = 1" for i in range(40_000)), 7_501, "too many"),
        ("[[rules]]\n" * 190_000, 150_001, "too many"),
        ("[facts.a]\nvalues = [" + ", ".join(map(str, range(1_000))) + "]", 2, "at most 200"),
        ("\n[rubric]\ngood = " + "9" * 1_000_000, 3, "too many digits"),
        ("[rubric]\ngood = 0x" + "f" * 1_000_000, 2, "huge number"),
        ("[rubric]\ngood = 1e999", 2, "not inf"),
        ("[rubric]\ngood = nan", 2, "not nan"),
        ("[facts.a]\nvalues = [1, 0x" + "f" * 5_000 + "]", 2, "huge number"),
        ("[a]\n" * 1_000, 2, "second time"),
        ("[scheme]\nname = '\ud800'", 2, "UTF-8"),
        ("[scheme]\nname = '\x01'", 2, "not TOML"),
        ("a = 1\rb = 2", 1, "not TOML"),
        ('"' + "k" * 1_000_000 + '" = 1', 1, "unknown key"),
    ],
)
def test_harm_is_refused_with_one_sentence_at_its_line(text: str, line: int, said: str) -> None:
    """A million keys, huge numbers, half characters: one fault, one plain sentence."""
    with pytest.raises(SchemeError) as refused:
        parse_scheme(text, "a file")
    (fault,) = refused.value.faults
    assert fault.line == line
    assert said in fault.message
    assert len(fault.message) < 300
    assert fault.message.isprintable()


def test_a_name_with_signs_that_can_not_be_shown_is_told_without_them() -> None:
    """An escape in a name does not get into the sentence."""
    with pytest.raises(SchemeError) as refused:
        parse_scheme('[facts."\\u001b[31m"]\nvalues = [1, 2]\nbogus = 1', "a file")
    assert all(fault.message.isprintable() for fault in refused.value.faults)


def test_more_faults_than_anybody_reads_are_cut_and_say_so() -> None:
    """A file that is no scheme at all tells its first fifty thousand faults."""
    text = "".join(f"k{number} = {number}\n" for number in range(60_000))
    with pytest.raises(SchemeError) as refused:
        parse_scheme(text, "a file")
    assert len(refused.value.faults) == 50_001
    assert "more than 50,000 faults" in refused.value.faults[0].message


def test_a_mark_of_the_byte_order_is_no_part_of_the_text() -> None:
    """Text from elsewhere may begin with it, as a file may."""
    assert parse_scheme("\ufeff[scheme]\r\nname = 'x'\r\n", "a file").name == "x"


def _large() -> Iterator[tuple[str, str]]:
    yield "ten thousand rules", TWENTY + MEN + _rules(10_000)
    either = ", ".join(f'{{ f{i % 20} = "a", f{(i * 7 + 1) % 20} = "b" }}' for i in range(10_000))
    rule = '[[rules]]\nid = "r"\nfor = ["K"]\nfit = "f"\n'
    yield "a condition of ten thousand tables", TWENTY + MEN + rule + f"when = [{either}]\n"
    yield (
        "what can't be, of ten thousand",
        TWENTY + MEN + rule + (f"[[impossible]]\nwhen = [{either}]\n"),
    )
    chain = "[facts.c0]\nvalues = [1, 2]\n" + "".join(
        f"[facts.c{i}]\nvalues = [1, 2]\napplies = {{ c{i - 1} = 1 }}\n" for i in range(1, 1_000)
    )
    yield "a chain of a thousand", chain + MEN + rule + "when = { c999 = 1 }\n"
    men = ", ".join(f'"K{i}"' for i in range(2_000))
    yield (
        "two thousand men of a hundred rules",
        (
            "".join(f'[positions.K{i}]\nside = "none"\n' for i in range(2_000))
            + MEN
            + "".join(f'[[rules]]\nid = "m{j}"\nfor = [{men}]\nfit = "f"\n' for j in range(50))
        ),
    )


@pytest.mark.parametrize(("name", "text"), list(_large()), ids=[name for name, _ in _large()])
def test_large_schemes_load_and_answer(name: str, text: str) -> None:
    """What is merely large is a scheme: a whole look is answered, with nothing known or refused."""
    scheme = parse_scheme(text, name)
    look = _whole(scheme)
    if not scheme.look_faults(look):
        assert scheme.expect("K", look).reason  # type: ignore[arg-type]
    try:
        options = scheme.expect("K", {}).options
    except LookError as refused:
        options = ()
        if "record some of them first" not in str(refused):
            raise
    assert options or len(scheme.facts) >= 20


def test_a_man_named_five_thousand_times_is_told_each_time() -> None:
    """Every repeat is a fault of its own."""
    text = MEN + '[[rules]]\nid = "r"\nfor = [' + '"K",' * 5_000 + ']\nfit = "f"\n'
    with pytest.raises(SchemeError) as refused:
        parse_scheme(text, "a file")
    assert len(refused.value.faults) == 4_999


def test_a_product_of_a_million_million_looks_is_answered() -> None:
    """With all twenty facts open each can matter; known ones that can't be are named no more."""
    scheme = parse_scheme(TWENTY + MEN + _rules(20), "large")
    asked = scheme.expect("K", {})
    assert set(asked.options) == {("f", None), ("g", None), (None, None)}
    assert set(asked.needs) == {f"f{i}" for i in range(20)}
    known = {f"f{i}": "c" for i in range(12)}
    assert set(scheme.expect("K", known).needs) <= {f"f{i}" for i in range(12, 20)}


def test_what_cannot_be_proven_in_bounded_time_is_not_called_empty() -> None:
    """Twelve facts of eleven values, no two alike: nobody can tell quickly, so it loads."""
    facts = "".join(f"[facts.p{i}]\nvalues = {list(range(11))}\n" for i in range(12))
    barred = "".join(
        f"[[impossible]]\nwhen = {{ p{i} = {k}, p{j} = {k} }}\n"
        for i in range(12)
        for j in range(i)
        for k in range(11)
    )
    assert len(parse_scheme(facts + MEN + barred, "holes").impossible) == 726


@pytest.mark.parametrize("seed", range(0, 400, 4))
def test_a_spoilt_scheme_loads_or_is_refused_in_sentences(seed: int, tmp_path: Path) -> None:
    """Bytes, lines and words of the sample scheme changed at random: only faults come out."""
    path = tmp_path / "spoilt.toml"
    good = (week_folder() / "harbor.toml").read_bytes()
    for one in range(seed, seed + 4):
        draw = random.Random(one)
        path.write_bytes(spoil(draw, good))
        try_file(draw, path)
