"""Scheme files with faults, and files that mean harm."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.errors import SchemeError
from gradecut.scheme import load_scheme, parse_scheme

GOOD = """\
[scheme]
tiers = ["base", "pull"]
[facts.strength]
values = ["left", "right"]
sided = true
[facts.run]
values = ["left", "right"]
sided = true
known = "after"
[facts.back]
values = ["left", "right", "behind"]
sided = true
[facts.surface]
values = [2, 3, 4]
per_side = true
[positions.Keel]
side = { same_as = "strength" }
[positions.Nose]
side = "none"
[fits."fill A"]
job = "fill"
gap = "A"
side = "to"
[fits.sink]
job = "sink"
"""


def _faults(text: str) -> list[tuple[int, str]]:
    with pytest.raises(SchemeError) as refused:
        parse_scheme(text, "a file")
    faults = [(fault.line, fault.message) for fault in refused.value.faults]
    assert [line for line, _ in faults] == sorted(line for line, _ in faults)
    return faults


def _one(added: str) -> tuple[int, str]:
    """Give the only fault, with its line counted from the first added line."""
    faults = _faults(GOOD + added)
    assert len(faults) == 1, faults
    return faults[0][0] - GOOD.count("\n"), faults[0][1]


RULE = '[[rules]]\nid = "1"\nfor = ["Keel"]\nfit = "sink"\n'
NOSE = '[[rules]]\nid = "1"\nfor = ["Nose"]\nfit = "sink"\n'
ALIGN = '[[alignments]]\nid = "a"\nfor = ["Keel"]\ndepth_yd = 4\nlandmark = "A"\n'


@pytest.mark.parametrize(
    ("added", "line", "said"),
    [
        ("[[rulse]]\nid = 1\n", 1, '"rules"'),
        (RULE + 'teir = "base"\n', 5, '"tier"'),
        (RULE + 'tier = "pul"\n', 5, '"pull"'),
        (RULE + "when = { bakc = 1 }\n", 5, '"back"'),
        (RULE + 'when = { back = "behnd" }\n', 5, '"behind"'),
        (RULE + 'when = { back = "left" }\n', 5, "to or away"),
        (RULE + 'when = { "surface.left" = 3 }\n', 5, "to or away"),
        (NOSE + 'when = { back = "to" }\n', 5, "left or right"),
        (NOSE + 'when = { "surface.away" = 3 }\n', 5, "left or right"),
        (RULE + "when = { surface = 3 }\n", 5, "surface.to"),
        (RULE + "when = { surface.to = 3 }\n", 5, "quotes"),
        (RULE + "when = { surface = { to = 3 } }\n", 5, "quotes"),
        (RULE + 'when = { "back.to" = 3 }\n', 5, "not recorded per side"),
        (RULE + 'when = { "surface.rum" = 3 }\n', 5, '"run"'),
        (RULE + 'when = { "surface.to" = 5 }\n', 5, "has no value 5"),
        (RULE + 'when = { "surface.to" = { min = 5 } }\n', 5, "never hold"),
        (RULE + 'when = { "surface.to" = { not = [2, 3, 4] } }\n', 5, "never hold"),
        (RULE + 'when = { "surface.to" = "3" }\n', 5, "whole number"),
        (RULE + "when = { back = { min = 1 } }\n", 5, "min"),
        (RULE + "when = { back = [] }\n", 5, "empty"),
        (RULE + "when = []\n", 5, "empty"),
        (RULE + "when = 3\n", 5, "table"),
        (RULE + 'cue = 3\nalso = ["sikn"]\n', 5, "text"),
        ('[[rules]]\nid = "1"\nfor = "Keel"\nfit = "sink"\n', 3, "list"),
        ('[[rules]]\nid = "1"\nfor = ["Kel"]\nwhen = { back = "to" }\nfit = "sink"\n', 3, '"Keel"'),
        ('[[rules]]\nid = "1"\nfor = ["Keel"]\nfti = "sink"\n', 4, '"fit"'),
        ('[[rules]]\nid = "1"\nfor = ["Keel"]\n', 1, "fit is missing"),
        ('[[rules]]\nid = "1"\nfor = ["Nose"]\nfit = "fill A"\n', 4, "no side"),
        (RULE + RULE, 6, "taken"),
        (RULE + ALIGN.replace('"a"', '"1"'), 6, "taken"),
        (
            '[[rules]]\nid = "1"\nfor = ["Keel", "Nose"]\nwhen = { back = "to" }\nfit = "sink"\n',
            4,
            "names none",
        ),
        (ALIGN + 'when = { run = "to" }\n', 6, "after the snap"),
        (ALIGN + 'when = { "surface.run" = 3 }\n', 6, "after the snap"),
        (ALIGN + 'side = { same_as = "run" }\n', 6, "after the snap"),
        (ALIGN.replace("Keel", "Nose") + 'side = "to"\n', 6, "no side"),
        ('[positions.Bow]\nside = { same_as = "surface" }\n', 2, "not a sided fact"),
        ('[positions.Bow]\ngroup = "x"\n', 1, "side is missing"),
        ('[positions.Bow]\nside = "as algined"\n', 2, '"as aligned"'),
        (
            '[positions.Bow]\nside = { same_as = "back", otherwise = { opposite_of = "back" } }\n',
            2,
            "depend on itself",
        ),
        ("[facts.a]\nvalues = [1, 2]\napplies = { a = 1 }\n", 3, "its own fact"),
        ('[facts.a]\nvalues = [1, 2]\napplies = { run = "left" }\n', 3, "after the snap"),
        ('[facts.a]\nvalues = [1, 2]\napplies = { back = "to" }\n', 3, "left or right"),
        ("[facts.a]\nvalues = [1]\n", 2, "at least two"),
        ('[facts.a]\nvalues = [1, "1"]\n', 2, "one type"),
        ("[facts.a]\nvalues = [\n  1,\n  2,\n  1,\n]\n", 5, "twice"),
        ('[facts.a]\nvalues = ["left", "up"]\nsided = true\n', 2, "right"),
        ('[facts.a]\nvalues = ["left", "right"]\nsided = true\nper_side = true\n', 4, "not both"),
        ("[facts.side]\nvalues = [1, 2]\n", 1, "word for a side"),
        ("[facts.a]\nvlaues = [1, 2]\n", 2, '"values"'),
        ('[fits.x]\njob = "x"\nmisses = [\n  { name = "a" },\n  { name = "a" },\n]\n', 5, "twice"),
        ('[fits.x]\njob = "x"\nmisses = [{ credit = "half" }]\n', 3, "name is missing"),
        ('[fits.x]\njob = "x"\nside = "left"\n', 3, "to, away"),
        ("[[impossible]]\nwhen = {}\n", 2, "no look"),
        ("[[impossible]]\nwhen = { back = 'to' }\n", 2, "left or right"),
        ("[[impossible]]\neach_side = true\nwhen = { back = 'left' }\n", 3, "to or away"),
        ('[[duties]]\nname = "d"\ngaps = ["A"]\n', 3, "each_side"),
        ('[[duties]]\nname = "d"\n', 1, "gaps or owned"),
        ('[[duties]]\nname = "d"\nowned = "q"\nat_least = 2\nat_most = 1\n', 5, "below"),
        ("[rubric]\ngood = 85\n", 2, "0 to 1"),
        ("[rubric]\nweights = { fit = 0 }\n", 2, "zero"),
        ("[rubric]\nweights = { fit = -1, effort = 1 }\n", 2, "negative"),
        ('[fits.sink]\njob = "again"\n', 1, "second time"),
    ],
)
def test_each_fault_is_told_once_at_its_line(added: str, line: int, said: str) -> None:
    """One mistake, one sentence, at the faulty key, with what to try."""
    if "sikn" in added:
        faults = _faults(GOOD + added)
        assert [number - GOOD.count("\n") for number, _ in faults] == [5, 6]
        assert '"sink"' in faults[1][1]
        return
    found, message = _one(added)
    assert said in message
    assert found == line


FACT = "[facts.a]\nvalues = [1, 2]\n"
FIT = '[fits.x]\njob = "x"\n'
MAN = '[positions.Bow]\nside = "left"\n'
DUTY = '[[duties]]\nname = "d"\nowned = "q"\n'
BARRED = '[[impossible]]\nwhen = { back = "left" }\n'


@pytest.mark.parametrize(
    ("added", "line", "said"),
    [
        # unknown keys, in every section, with the nearest known
        (FACT + "aplies = {}\n", 3, '"applies"'),
        (MAN + "gruop = 1\n", 3, '"group"'),
        (FIT + 'landmrk = "x"\n', 3, '"landmark"'),
        (FIT + 'misses = [{ name = "m", credti = "half" }]\n', 3, '"credit"'),
        (FIT + 'side = { same_as = "run", otherwise = "left" }\n', 3, "otherwise"),
        (ALIGN + 'eye = "x"\n', 6, '"eyes"'),
        (BARRED + "each_sdie = true\n", 3, '"each_side"'),
        (DUTY + "at_laest = 1\n", 4, '"at_least"'),
        ("[rubric]\ngod = 0.8\n", 2, '"good"'),
        ("[rubric]\nfit = { rihgt = 2 }\n", 2, '"right"'),
        ("[rubric]\nweights = { fti = 1 }\n", 2, '"fit"'),
        (RULE + 'when = { "surface.to" = { mni = 3 } }\n', 5, '"min"'),
        # unknown names, wherever one is named
        (RULE + 'also = ["sikn"]\n', 5, '"sink"'),
        (ALIGN.replace("Keel", "Kel"), 3, '"Keel"'),
        (ALIGN + 'tier = "bass"\n', 6, '"base"'),
        (FIT + 'side = { same_as = "rnu" }\n', 3, '"run"'),
        ('[positions.Bow]\nside = { opposite_of = "strenght" }\n', 2, '"strength"'),
        (FACT + "applies = { bakc = 1 }\n", 3, '"back"'),
        (BARRED.replace("back", "bakc"), 2, '"back"'),
        (DUTY + "when = { bakc = 1 }\n", 4, '"back"'),
        (NOSE + 'when = { back = { not = "behnd" } }\n', 5, '"behind"'),
        (NOSE + 'when = { back = ["behind", "behnd"] }\n', 5, '"behind"'),
        # wrong types
        ("[[facts]]\nvalues = [1, 2]\n", 1, "second time"),
        ("[facts.a]\nvalues = 3\n", 2, "list"),
        ("[facts.a]\nvalues = [1, 2.5]\n", 2, "whole numbers"),
        (FACT + 'sided = "yes"\n', 3, "true or false"),
        (FACT + 'known = "later"\n', 3, '"after"'),
        (FACT + "asks = 1\n", 3, "text"),
        (MAN + "graded = 1\n", 3, "true or false"),
        (FIT + "steps = 1.5\n", 3, "whole number"),
        (FIT + "steps = true\n", 3, "whole number"),
        (FIT + "steps = 0x" + "f" * 40 + "\n", 3, "huge number"),
        (FIT + "gap = 1\n", 3, "text"),
        (FIT + 'owns = "cutback"\n', 3, "list"),
        (FIT + 'misses = ["late"]\n', 3, "table"),
        (FIT + 'misses = [{ name = "m", credit = "full" }]\n', 3, '"wrong"'),
        (ALIGN + "tolerance_yd = -1\n", 6, "negative"),
        (ALIGN + 'tolerance_yd = "1"\n', 6, "number"),
        (ALIGN.replace("depth_yd = 4", "depth_yd = nan"), 4, "number"),
        (ALIGN + 'side = "left"\n', 6, "to, away"),
        (BARRED + 'each_side = "yes"\n', 3, "true or false"),
        (DUTY + "at_least = -1\n", 4, "negative"),
        ('[[rules]]\nid = 1\nfor = ["Keel"]\nfit = "sink"\n', 2, "text"),
        (RULE + "when = { back = 1.5 }\n", 5, "value"),
        (RULE + 'when = { "surface.to" = { min = "3" } }\n', 5, "whole number"),
        (RULE + 'when = { "surface.to" = { min = 2.5 } }\n', 5, "whole number"),
        ("[rubric]\nfit = 2\n", 2, "table"),
        ("[rubric]\neffort = []\n", 2, "above zero"),
        # needed keys, at the head of the table
        ('[facts.a]\nknown = "after"\n', 1, "values is missing"),
        ('[fits.x]\ngap = "A"\n', 1, "job is missing"),
        ('[[rules]]\nfor = ["Keel"]\nfit = "sink"\n', 1, "id is missing"),
        ('[[rules]]\nid = "1"\nfit = "sink"\n', 1, "for is missing"),
        (ALIGN.replace('landmark = "A"\n', ""), 1, "landmark is missing"),
        (ALIGN.replace("depth_yd = 4\n", ""), 1, "depth_yd is missing"),
        ("[[impossible]]\neach_side = true\n", 1, "when is missing"),
        ('[[duties]]\nowned = "q"\n', 1, "name is missing"),
        ('[positions.Bow]\nside = { otherwise = "left" }\n', 2, "same_as"),
        # repeats
        (DUTY + DUTY, 5, "taken"),
        ('[[rules]]\nid = "1"\nfor = ["Keel", "Keel"]\nfit = "sink"\n', 3, "twice"),
        (RULE + 'also = ["fill A", "fill A"]\n', 5, "twice"),
        ('[rubric]\ncauses = ["eyes", "eyes"]\n', 2, "twice"),
        ("[rubric]\neffort = [0, 1, 1]\n", 2, "twice"),
        # what the page rules out besides
        ('[facts."a.b"]\nvalues = [1, 2]\n', 1, "no dot"),
        ('[facts.a]\nvalues = ["left", "right", "to"]\nsided = true\n', 2, '"to"'),
        (f"[facts.a]\nvalues = {list(range(201))}\n", 2, "at most 200"),
        ('[[rules]]\nid = "1"\nfor = []\nfit = "sink"\n', 3, "empty"),
        (RULE + "when = [{}, 3]\n", 5, "table"),
        (RULE + 'when = { "surface.to" = { min = 4, max = 3 } }\n', 5, "never hold"),
        (NOSE + 'when = { back = { not = ["left", "right", "behind"] } }\n', 5, "never hold"),
        (NOSE + "when = { back = { not = [] } }\n", 5, "empty"),
        (FACT + "applies = []\n", 3, "empty"),
        (NOSE + 'also = ["fill A"]\n', 5, "no side"),
        ('[[duties]]\nname = "d"\ngaps = []\neach_side = true\n', 3, "empty"),
        (DUTY + 'gaps = ["A"]\neach_side = true\n', 4, "not both"),
        ('[[duties]]\nname = "d"\ngaps = ["A"]\neach_side = true\nat_least = 2\n', 5, "gaps"),
        ("[rubric]\nfit = { right = 1, half = 2 }\n", 2, "below half"),
        # the clauses of what would have been
        (FACT + 'had = "x"\n', 3, "table"),
        (FACT + 'had = { 3 = "had there been three" }\n', 3, "there is"),
        (FACT + "had = { 1 = 1 }\n", 3, "text"),
        (FACT + 'had = { 1 = " " }\n', 3, "words"),
        (FACT + 'had = { to = "had it come" }\n', 3, '"to"'),
    ],
)
def test_every_entry_of_the_list_of_faults_has_its_line_and_remedy(
    added: str, line: int, said: str
) -> None:
    """Walk the language page's list of faults: one mistake each, in each place it can be made."""
    found, message = _one(added)
    assert said in message
    assert found == line


def test_faults_of_the_head_are_told() -> None:
    """Tiers that repeat, an empty list of them, and keys that are no keys of the head."""
    for head, said in (
        ('tiers = ["base", "base"]', "twice"),
        ("tiers = []", "empty"),
        ('tiers = "base"', "list"),
        ('tires = ["base", "pull"]', '"tiers"'),
        ("version = 1", "text"),
    ):
        faults = _faults(GOOD.replace('tiers = ["base", "pull"]', head) + RULE + 'tier = "base"\n')
        assert [number for number, _ in faults] == [2], faults
        assert said in faults[0][1]


def test_clauses_of_what_would_have_been_are_read() -> None:
    """Numbers and truth values are written as keys; a sided fact may speak from the man's side."""
    text = GOOD + (
        '[facts.a]\nvalues = [1, 2]\nhad = { 1 = "one", "2" = "two" }\n'
        '[facts.b]\nvalues = [true, false]\nhad = { true = "yes" }\n'
        '[facts.c]\nvalues = ["left", "right", "up"]\nsided = true\n'
        'had = { to = "to", away = "away", left = "left", up = "up" }\n'
    )
    facts = parse_scheme(text, "a file").facts
    assert dict(facts["a"].had) == {"1": "one", "2": "two"}
    assert dict(facts["b"].had) == {"true": "yes"}
    assert dict(facts["c"].had) == {"to": "to", "away": "away", "left": "left", "up": "up"}


def test_all_faults_of_a_file_come_together_in_file_order(tmp_path: Path) -> None:
    """Seven mistakes in all sections: seven faults, each with its own line."""
    text = (
        GOOD
        + RULE
        + 'when = { back = "behnd" }\n'
        + RULE
        + 'fitt = "x"\n'
        + ALIGN.replace("Keel", "Keal")
        + "[[impossible]]\nwhen = { nobody = 1 }\n"
        + "[rubric]\ngood = true\n"
    )
    path = tmp_path / "many.toml"
    path.write_text(text.replace("\n", "\r\n"), encoding="utf-8-sig", newline="")
    with pytest.raises(SchemeError) as refused:
        load_scheme(path)
    start = GOOD.count("\n")
    assert [fault.line - start for fault in refused.value.faults] == [5, 7, 10, 13, 17, 19]
    assert str(path) in str(refused.value)


def test_what_hangs_on_a_faulty_fact_is_not_told_again() -> None:
    """Rules that name a fact with a faulty list of values bring no faults of their own."""
    text = GOOD + '[facts.a]\nvalues = ["x", 1]\n' + RULE + 'when = { a = "nothing" }\n'
    assert len(_faults(text)) == 1
    misspelt = GOOD.replace("[facts.", "[factz.")
    assert [line for line, _ in _faults(misspelt + RULE + 'when = { back = "to" }\n')] == [3]


DOUBTFUL = '[facts.z]\nvalues = ["left", "right"]\n'
BARRED = "[[impossible]]\neach_side = true\n"


@pytest.mark.parametrize("sided", ["sidde = true", 'sided = "yes"', "sided = 1", "by_both = true"])
@pytest.mark.parametrize(
    "told", ['"to"', '["to"]', '["away"]', '{ not = ["to", "away"] }', '"left"']
)
@pytest.mark.parametrize("entry", [RULE, NOSE, ALIGN, BARRED])
def test_a_fact_that_may_be_sided_or_not_is_one_fault(sided: str, told: str, entry: str) -> None:
    """Where `sided` is misspelt or wrong, no condition on the fact is called impossible too."""
    line, said = _one(DOUBTFUL + sided + "\n" + entry + f"when = {{ z = {told} }}\n")
    assert line == 3
    assert sided.partition(" ")[0] in said


@pytest.mark.parametrize("values", ["", "values = 3\n", 'values = ["left", 1]\n', "values = []\n"])
@pytest.mark.parametrize(
    "added",
    [
        '[positions.Bow]\nside = { same_as = "z" }\n',
        '[fits.chase]\njob = "chase"\nside = { opposite_of = "z" }\n',
        RULE + 'when = { "surface.z" = 2 }\n',
        RULE + 'when = { "z.to" = 2 }\n',
        NOSE + 'when = { z = "left" }\n',
    ],
)
def test_a_fact_without_values_is_not_called_sideless(values: str, added: str) -> None:
    """What a fact with faulty values, or none, would be used for is no second fault."""
    line, _ = _one("[facts.z]\n" + values + added)
    assert line in {1, 2}


@pytest.mark.parametrize("shape", ["sided = false", "per_side = true"])
def test_a_fact_that_says_it_points_nowhere_is_held_to_it(shape: str) -> None:
    """A shape that is written down is sure, even where the values are faulty."""
    bow = '[positions.Bow]\nside = { same_as = "z" }\n'
    told = [said for _, said in _faults(GOOD + f"[facts.z]\n{shape}\n{bow}")]
    assert len(told) == 2
    assert "not a sided fact" in told[1]


@pytest.mark.parametrize(
    ("misspelt", "meant", "hanging"),
    [
        ('[fit.Q]\njob = "chase"\n', "fits", RULE.replace('"sink"', '"Q"\nalso = ["Q"]')),
        ("[fact.y]\nvalues = [1, 2]\n", "facts", RULE + "when = { y = 1 }\n"),
        (
            '[fact.y]\nsided = true\nvalues = ["left", "right"]\n',
            "facts",
            '[positions.Bow]\nside = { same_as = "y" }\n' + RULE + 'when = { "surface.y" = 3 }\n',
        ),
        ('[postions.Q]\nside = "left"\n', "positions", RULE.replace("Keel", "Q")),
        ('[Scheme]\ntiers = ["flow"]\n', "scheme", RULE + 'tier = "flow"\n'),
        ('[[fit]]\nname = "Q"\n', "fits", RULE.replace('"sink"', '"Q"')),
    ],
)
def test_a_misspelt_section_beside_the_right_one_is_one_fault(
    misspelt: str, meant: str, hanging: str
) -> None:
    """Names told in the misspelt section are known, and the section gets its remedy."""
    line, said = _one(misspelt + hanging)
    assert line == 1
    assert f'did you mean "{meant}"' in said


def test_a_name_told_nowhere_is_unknown_beside_a_misspelt_section() -> None:
    """Only the names of the misspelt section are passed over."""
    added = '[fit.Q]\njob = "chase"\n' + RULE.replace('"sink"', '"nowhere"')
    assert [line - GOOD.count("\n") for line, _ in _faults(GOOD + added)] == [1, 6]


def test_a_loop_of_facts_is_one_fault_at_its_first() -> None:
    """Two facts that apply by each other are one fault, and one outside the loop is none."""
    text = GOOD + "".join(
        f"[facts.{name}]\nvalues = [1, 2]\napplies = {{ {other} = 1 }}\n"
        for name, other in (("x", "a"), ("a", "b"), ("b", "a"), ("c", "c"))
    )
    assert [line - GOOD.count("\n") for line, _ in _faults(text)] == [6, 12]


def test_a_condition_on_having_no_value_may_hold() -> None:
    """Barring every value holds where the fact may have none, so it is no fault."""
    parse_scheme(
        GOOD
        + '[facts.goes]\nvalues = [1, 2]\napplies = { back = "left" }\n'
        + RULE
        + "when = { goes = { not = [1, 2] } }\n"
        + NOSE.replace('"1"', '"2"')
        + 'when = { "surface.back" = { not = [2, 3, 4] } }\n',
        "a file",
    )


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("a = \n", 1),
        ("[facts]\nb = [1,\n\n", 4),
        ("x = " + "[" * 100_000, 1),
        ("\nx = " + "{a=" * 50_000, 2),
        ("[" + ".".join("a" * 50_000) + "]", 1),
        ("a." * 100_000 + "a = 1", 1),
        ("x = " + "[" * 21 + "]" * 21, 1),
        ('x = "' + "a" * 100_000, 1),
        ('x = """' + '"" ' * 100_000, 1),
        ("x = " + "1" * 10_000, 1),
    ],
)
def test_broken_and_hostile_text_is_one_fault(text: str, line: int) -> None:
    """Not TOML, cut short, or nested to harm: one fault with a line, at once."""
    faults = _faults(text)
    assert len(faults) == 1
    assert faults[0][0] == line


def test_files_that_can_not_be_read_are_one_fault(tmp_path: Path) -> None:
    """A missing file, a folder, bytes that are no text, and too big a file."""
    (tmp_path / "bytes.toml").write_bytes(b"a = 1\nb = '\xff\xfe'\n")
    (tmp_path / "big.toml").write_bytes(b"#" * 2_000_001)
    lines = {"missing.toml": 0, ".": 0, "bytes.toml": 2, "big.toml": 0}
    for name, line in lines.items():
        with pytest.raises(SchemeError) as refused:
            load_scheme(tmp_path / name)
        assert [fault.line for fault in refused.value.faults] == [line]
        assert ("line" in str(refused.value)) == (line > 0)


def test_a_great_many_faults_are_all_told() -> None:
    """Thirty thousand unknown keys are thirty thousand faults, in bounded time."""
    text = "".join(f"k{number} = {number}\n" for number in range(30_000))
    assert len(_faults(text)) == 30_000


def test_text_and_digest_are_kept() -> None:
    """A book keeps the text and knows the version by its digest."""
    scheme = parse_scheme(GOOD, "a file")
    assert scheme.text == GOOD
    assert len(scheme.sha256) == 64
    assert parse_scheme(scheme.text, "again").sha256 == scheme.sha256
    assert parse_scheme("", "empty").positions == {}


@pytest.mark.parametrize(
    "sign", ["\\u0000", "\\n", "\\u001b", "\\t", "\\u007f", "\\u0085", "\\u2028"]
)
@pytest.mark.parametrize(
    ("added", "line"),
    [
        ('[facts."z@"]\nvalues = [1, 2]\n' + RULE + 'when = { "z@" = 1 }\n', 1),
        ('[facts.z]\nvalues = [\n"a",\n"b@"]\n' + RULE + 'when = { z = "b@" }\n', 4),
        ('[positions."B@ow"]\nside = "left"\n' + RULE.replace("Keel", "B@ow"), 1),
        ('[positions.Bow]\nside = "left"\ngroup = "@"\n', 3),
        ('[fits."@chase"]\njob = "chase"\n' + RULE.replace("sink", "@chase"), 1),
        ('[fits.chase]\njob = "chase"\ngap = "A@"\n', 3),
        ('[fits.chase]\njob = "chase"\nowns = ["a", "c@"]\n', 3),
        ('[fits.chase]\njob = "chase"\nmisses = [{ name = "l@te" }]\n', 3),
        (RULE.replace('"1"', '"1@"'), 2),
        (ALIGN.replace('"a"', '"@a"'), 2),
        ('[[duties]]\nname = "a@b"\nowned = "cutback"\n', 2),
        ('[rubric]\ncauses = ["ey@es"]\n', 2),
    ],
)
def test_a_control_character_in_a_name_is_one_fault_where_it_is_told(
    added: str, line: int, sign: str
) -> None:
    """No name hides a line break or an escape; what uses the name is not told again."""
    found, said = _one(added.replace("@", sign))
    assert found == line
    assert "control character" in said
    assert said.isprintable()


def test_a_control_character_in_a_tier_or_the_name_of_the_scheme_is_a_fault() -> None:
    """Tiers are names too; a rule of that tier is no second fault."""
    text = '[scheme]\nname = "Har\\nbor"\ntiers = ["base", "pu\\u0000ll"]\n'
    rest = GOOD.partition("[facts")
    added = RULE + 'tier = "pu\\u0000ll"\n'
    assert [line for line, _ in _faults(text + rest[1] + rest[2] + added)] == [2, 3]


def test_words_of_more_than_one_line_are_no_names() -> None:
    """A cue may have line breaks, and names may hold any letter."""
    added = RULE.replace('"1"', '"Über 1 é 守"') + 'cue = """Downhill\nnow"""\n'
    assert parse_scheme(GOOD + added, "a file").rules[0].cue == "Downhill\nnow"
