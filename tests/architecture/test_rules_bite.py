"""Each rule is seen to fail on a small bad tree, and to pass on the same tree put right."""

import textwrap

import pytest

from tests.architecture.rules import RULES, studies_without_command, study_names

PHYSICS = "src/airledger/physics/orifice.py"
GOOD_FUNCTION = '''
def orifice_flow(area, pressure_difference):
    """Flow through a sharp hole.

    Parameters
    ----------
    area : float
        free area [m2]
    pressure_difference : float
        across the hole [Pa]

    Raises
    ------
    OutOfRange
        the area is negative.

    Reference: a handbook, chapter 1, equation 2.
    """
    if area < 0:
        raise OutOfRange("area", area, 0, 1, "m2")
    return 0.6 * area * pressure_difference
'''
SHORT_FUNCTION = '''
def orifice_flow(area, pressure_difference):
    """Flow through a sharp hole.

    Parameters:
        area: free area [m2].
        pressure_difference: across the hole,
            inside minus outside [Pa].

    Raises:
        OutOfRange: the area is negative.

    Reference: a handbook, chapter 1, equation 2.
    """
    if area < 0:
        raise OutOfRange("area", area, 0, 1, "m2")
    return 0.6 * area * pressure_difference
'''
STUDY = "def run(house, options, work):\n    return house\n"
PAGE = "# Door force\n" + "how hard a door pulls " * 20

# rule -> (file, bad text, good text) of each file of the tree; None: no such file
CASES = {
    "long_files": [(PHYSICS, "x = 1\n" * 401, "x = 1\n" * 400)],
    "folders_that_are_no_package": [
        ("src/airledger/physics/leak.py", "", ""),
        ("src/airledger/physics/__init__.py", None, ""),
    ],
    "undocumented_parameters": [(PHYSICS, GOOD_FUNCTION.replace("(area,", "(width, area,"), GOOD_FUNCTION)],
    "parameters_without_unit": [(PHYSICS, GOOD_FUNCTION.replace(" [Pa]", ""), GOOD_FUNCTION)],
    "wrong_raises": [
        (PHYSICS, GOOD_FUNCTION.replace('raise OutOfRange("area"', 'raise ValueError("area"'), GOOD_FUNCTION)
    ],
    "unreferenced_physics": [(PHYSICS, GOOD_FUNCTION.replace("Reference:", "See"), GOOD_FUNCTION)],
    "names_with_two_units": [
        (PHYSICS, GOOD_FUNCTION, GOOD_FUNCTION),
        ("src/airledger/house/room.py", GOOD_FUNCTION.replace("[m2]", "[ft2]"), GOOD_FUNCTION),
    ],
    "unit_suffixes": [(PHYSICS, "def leak(flow_cfm):\n    return flow_cfm\n", "def leak(flow):\n    return flow\n")],
    "impure_calculations": [(PHYSICS, "import time\n", "import math\n")],
    "studies_without_manual": [
        ("src/airledger/studies/door_force.py", STUDY, STUDY),
        ("docs/manual/index.md", "door_force\n", "door_force\n"),
        ("docs/manual/door_force.md", "# Door force\n", PAGE),
    ],
    "machine_names": [("docs/start.md", "Go to /" + "home/anna/houses.", "Go to the folder of your houses.")],
    "outside_papers": [("docs/start.md", "As the se" + "ed document says.", "As the standard says.")],
    "unfinished_work": [(PHYSICS, "x = 1  # TO" + "DO: real value\n", "x = 1  # exact by definition\n")],
    "broken_links": [("docs/start.md", "[next](gone.md)", "[again](start.md)")],
    "unsorted_public_names": [("src/airledger/__init__.py", '__all__ = ["b", "a"]\n', '__all__ = ["a", "b"]\n')],
    "tests_that_cannot_fail": [
        ("tests/test_it.py", "def test_it():\n    1 + 1\n", "def test_it():\n    assert 1 + 1 == 2\n")
    ],
}


def plant(root, texts):
    for place, text in texts:
        if text is None:
            continue
        path = root / place
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(textwrap.dedent(text), encoding="utf-8")
    return root


def test_every_rule_has_a_bad_tree():
    assert sorted(CASES) == sorted(RULES)


@pytest.mark.parametrize("name", RULES)
def test_the_rule_complains_of_a_bad_tree_and_not_of_a_good_one(name, tmp_path):
    bad = plant(tmp_path / "bad", [(place, text) for place, text, _ in CASES[name]])
    good = plant(tmp_path / "good", [(place, text) for place, _, text in CASES[name]])
    assert list(RULES[name](bad))
    assert list(RULES[name](good)) == []


@pytest.mark.parametrize(
    "impure",
    [
        "from pathlib import Path",
        "open('x')",
        "print(1)",
        "import datetime\ndatetime.date.today()",
        "from importlib import resources",
    ],
)
def test_calculations_may_not_touch_the_world(impure, tmp_path):
    assert list(RULES["impure_calculations"](plant(tmp_path / "a", [(PHYSICS, impure + "\n")])))
    assert not list(RULES["impure_calculations"](plant(tmp_path / "b", [("src/airledger/io/file.py", impure + "\n")])))


@pytest.mark.parametrize("line", ["pytest.skip('no')", "assert True", "assert x or True", "assert (x, 'always true')"])
def test_hollow_checks_are_seen(line, tmp_path):
    tree = plant(tmp_path, [("tests/test_it.py", f"def test_it(x):\n    assert x\n    {line}\n")])
    assert list(RULES["tests_that_cannot_fail"](tree))


def test_a_section_that_ends_in_a_colon_is_read_like_an_underlined_one(tmp_path):
    rules = ("undocumented_parameters", "parameters_without_unit", "wrong_raises")
    tree = plant(tmp_path / "a", [(PHYSICS, SHORT_FUNCTION)])
    assert [list(RULES[rule](tree)) for rule in rules] == [[], [], []]
    for change in (("area: free", "width: free"), (" [Pa]", ""), ("OutOfRange:", "ValueError:")):
        tree = plant(tmp_path / "b", [(PHYSICS, SHORT_FUNCTION.replace(*change))])
        assert any(list(RULES[rule](tree)) for rule in rules), change


def test_an_exception_caught_in_the_body_is_not_raised(tmp_path):
    caught = (
        'def f():\n    """Nothing."""\n    try:\n        raise ValueError\n    except ValueError:\n        return 1\n'
    )
    passed_on = caught.replace("return 1", "raise")
    assert not list(RULES["wrong_raises"](plant(tmp_path / "a", [(PHYSICS, caught)])))
    assert list(RULES["wrong_raises"](plant(tmp_path / "b", [(PHYSICS, passed_on)])))


def test_an_exception_of_what_is_called_may_be_told_and_one_of_nobody_may_not(tmp_path):
    inner = "def _check(x):\n    raise OutOfRange\n"
    outer = 'def f(x):\n    """Nothing.\n\n    Raises:\n        OutOfRange: too large.\n    """\n    return _check(x)\n'
    assert not list(RULES["wrong_raises"](plant(tmp_path / "a", [(PHYSICS, inner + outer)])))
    assert list(RULES["wrong_raises"](plant(tmp_path / "b", [(PHYSICS, outer)])))
    made = 'def fault(x) -> OutOfRange:\n    """Made."""\n    return OutOfRange(x)\n' + outer.replace(
        "return _check", "raise fault"
    )
    assert not list(RULES["wrong_raises"](plant(tmp_path / "c", [(PHYSICS, made)])))


def test_a_study_without_a_command_is_seen(tmp_path):
    tree = plant(tmp_path, [("src/airledger/studies/door_force.py", STUDY)])
    assert study_names(tree) == ["door_force"]
    assert list(studies_without_command(tree, {"ask": "Ten questions."}))
    assert list(studies_without_command(tree, {"door-force": " "}))
    assert not list(studies_without_command(tree, {"door-force": "How hard a door pulls."}))
