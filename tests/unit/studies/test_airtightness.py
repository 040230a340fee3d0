"""The airtightness study: example readings with one planted fault each, two tests, and the make-up air."""

from dataclasses import replace
from importlib import resources

import pytest

from airledger import runs
from airledger.errors import InputError, ReadingsFileError
from airledger.io.house_file import loads
from airledger.io.readings_file import read_test_text
from airledger.quantities import in_units
from airledger.rules.airtightness_together import read_together, usual_method, why_unread
from airledger.runs.fan_test import METHODS
from airledger.studies.airtightness import measured_house, of_tests
from airledger.units import CFM
from tests.unit.rules.fan_tests import REFERENCE
from tests.unit.rules.test_airtightness_methods import up
from tests.unit.studies.outcomes import TERN

READINGS = resources.files("airledger").joinpath("examples/readings")


def readings(name):
    return read_test_text(READINGS.joinpath(f"{name}.csv").read_text(encoding="utf-8"), f"{name}.csv")


def result(*names, roles=("",)):
    return of_tests(tuple((role, (readings(name).test,)) for role, name in zip(roles, names, strict=True)))


def codes(found, severity=None):
    return [f.code for f in found.findings if severity in (None, f.severity)]


# The examples are invented: a house of 21.5 cfm/Pa^0.66 (19 at the rough-in), noise of 0.6 %, one fault planted in each
@pytest.mark.parametrize(
    ("name", "verdict", "words"),
    [
        ("tern-14", "read", "1.07 ACH50"),
        ("outlier", "read with care", "36 Pa: −1"),
        ("windy", "read with care", "12 Pa: the baseline's ±"),
        ("gale", "come back", "wait for a calmer day"),
        ("no-baseline", "read with care", "baseline before and after: none"),
    ],
)
def test_each_example_leads_to_its_verdict(name, verdict, words):
    found = result(name)
    assert found.tables["results"][0]["verdict"] == verdict
    assert any(words in f.message for f in found.findings)


def test_examples_that_cannot_be_are_refused_or_questioned():
    with pytest.raises(ReadingsFileError, match="positive and negative mixed"):
        readings("signs-mixed")
    assert any("is the unit of flow or volume right?" in words for words in readings("litres-called-cfm").cautions)


def test_the_true_law_lies_within_the_interval_of_the_good_test():
    row = result("tern-14").tables["results"][0]
    assert row["exponent_low"] < 0.66 < row["exponent_high"]
    (flow,) = [f for f in result("tern-14").tables["flows"] if f["pressure_pa"] == 50.0]
    assert flow["flow_low_m3s"] < 21.5 * 50**0.66 * CFM * 1.002
    assert flow["flow_high_m3s"] > 21.5 * 50**0.66 * CFM * 0.985


def test_what_was_opened_since_the_rough_in_is_told():
    found = result("tern-14-rough-in", "tern-14", roles=("rough-in", "as lived in"))
    (between,) = [f for f in found.findings if f.code == "between_tests"]
    assert between.severity == "caution"
    assert "more at 50 Pa than at the rough-in" in between.message
    same = result("tern-14-rough-in", "tern-14-rough-in", roles=("rough-in", "as lived in"))
    (between,) = [f for f in same.findings if f.code == "between_tests"]
    assert between.severity == "ok"
    assert "which is within what the two tests may be off by" in between.message


def test_two_values_for_the_code_and_as_lived_in():
    found = result("tern-14-rough-in", "tern-14", roles=("for the code", "as lived in"))
    assert [row["role"] for row in found.tables["results"]] == ["for the code", "as lived in"]
    assert any("with what was taped for the code" in f.message for f in found.findings)


@pytest.mark.parametrize("method", METHODS)
def test_every_method_gives_every_table(method):
    found = of_tests((("", (REFERENCE,)),), method)
    for table in ("results", "flows", "points", "rules"):
        assert found.tables[table], table
    row = found.tables["results"][0]
    for key in ("exponent", "flow_coefficient", "ach50"):
        assert row[f"{key}_low"] < row[key] < row[f"{key}_high"]


def test_both_directions_are_averaged_and_three_are_refused():
    assert read_together((REFERENCE, up()), "e779").direction == "both, averaged"
    with pytest.raises(InputError, match="one series of readings, or one of each direction; these are 3"):
        read_together((REFERENCE,) * 3, "e779")


def test_the_house_takes_the_interval_of_its_test():
    house = loads(TERN, "tern.yaml")
    measured = measured_house(house, (("as lived in", (REFERENCE,)),))
    flow = read_together((REFERENCE,), "e779").flow_at(50.0)
    assert measured.envelope.tightness_unit == "flow50"
    assert (measured.envelope.tightness.low, measured.envelope.tightness.high) == (flow.low, flow.high)
    assert 0.5 <= measured.envelope.exponent.low < measured.envelope.exponent.high <= 1.0
    assert measured.envelope.measured_by == "ASTM E779"
    assert measured_house(house, ()) is house


def test_a_test_to_come_back_for_leaves_the_guess():
    house = loads(TERN, "tern.yaml")
    wild = replace(REFERENCE, baselines_before=(-1.0, -9.0))
    assert measured_house(house, (("as lived in", (wild,)),)) is house


def test_the_last_test_counts():
    house = loads(TERN, "tern.yaml")
    looser = replace(REFERENCE, flows=tuple(2 * flow for flow in REFERENCE.flows))
    both = (("rough-in", (looser,)), ("as lived in", (REFERENCE,)))
    assert measured_house(house, both) == measured_house(house, both[1:])


def with_a_test(folder):
    text = READINGS.joinpath("tern-14.csv").read_text(encoding="utf-8")
    (folder / "test.csv").write_text(text, encoding="utf-8")
    line = next(line for line in TERN.splitlines() if line.strip().startswith("tightness:"))
    return TERN.replace(line, f"{line.partition('#')[0].rstrip()}\n  tested: test.csv")


def test_the_study_tells_what_the_test_changes_while_the_wall_is_open(tmp_path):
    house = loads(with_a_test(tmp_path), "tern.yaml")
    found = runs.study(house, ("airtightness", "make_up_air"), beside=tmp_path)
    guessed, tested = found.results["airtightness"].tables["decision"]
    assert (guessed["tightness"], tested["tightness"]) == ("guessed", "tested")
    assert found.house.envelope.measured_by == "ASTM E779"
    (decision,) = [f for f in found.findings if f.code == "decision"]
    same = guessed["option"] == tested["option"] and guessed["verdict"] == tested["verdict"]
    assert decision.severity == ("ok" if same else "caution")


def test_a_house_may_have_a_test_and_no_guess(tmp_path):
    text = with_a_test(tmp_path)
    line = next(line for line in text.splitlines() if line.strip().startswith("tightness:"))
    house = loads(text.replace(f"{line}\n", ""), "tern.yaml")
    found = runs.study(house, ("airtightness",), beside=tmp_path)
    assert found.house.envelope.tightness.likely / CFM == pytest.approx(280, abs=1)
    assert found.results["airtightness"].tables["decision"] == ()


def house_with(folder, name, guess=True):
    """Tern with one of the example readings, with its guess or without."""
    (folder / "test.csv").write_text(READINGS.joinpath(f"{name}.csv").read_text(encoding="utf-8"), encoding="utf-8")
    line = next(line for line in TERN.splitlines() if line.strip().startswith("tightness:"))
    kept = f"{line.partition('#')[0].rstrip()}\n" if guess else ""
    return loads(TERN.replace(line, f"{kept}  tested: test.csv"), "tern.yaml")


def test_without_a_guess_and_with_nothing_to_read_the_house_is_refused(tmp_path):
    with pytest.raises(InputError, match=r"nothing can be read from the test: the baseline wanders .* write a guess"):
        runs.study(house_with(tmp_path, "gale", guess=False), ("door_force",), beside=tmp_path)


def test_a_test_to_come_back_for_says_that_the_guess_stands(tmp_path):
    house = house_with(tmp_path, "gale")
    found = runs.study(house, ("airtightness",), beside=tmp_path)
    (again,) = [f for f in found.findings if f.code == "come_back"]
    assert again.action == "come back and read it again; until then the guess of the house file stands"
    assert found.house.envelope == house.envelope
    assert of_tests((("", (readings("gale").test,)),)).findings[0].action == "come back and read it again"


def test_what_is_odd_in_a_file_is_told_with_the_house(tmp_path):
    found = runs.study(house_with(tmp_path, "no-baseline"), ("airtightness",), beside=tmp_path)
    (odd,) = [f for f in found.findings if f.code == "odd_in_file"]
    assert odd.severity == "unknown"
    assert "no baseline: taken as 0 Pa" in odd.message
    doubted = replace(REFERENCE, odd=("r.csv:17: about 0.04 air changes: is the unit of flow or volume right?",))
    assert readings("litres-called-cfm").test.odd == readings("litres-called-cfm").cautions
    assert doubted.odd[0].endswith("?")


def test_the_house_is_measured_by_the_method_that_was_chosen(tmp_path):
    house = house_with(tmp_path, "tern-14")
    found = runs.study(house, ("airtightness",), {"airtightness": "iso9972"}, beside=tmp_path)
    assert found.house.envelope.measured_by == "ISO 9972"
    (row,) = found.results["airtightness"].tables["results"]
    assert found.house.envelope.tightness.likely == row["flow50_m3s"]


@pytest.mark.parametrize(("count", "method", "title"), [
    (1, "e1827-1", "ASTM E1827, one point"), (2, "e1827-2", "ASTM E1827, two points"), (3, "e779", "ASTM E779"),
])  # fmt: skip
def test_a_house_with_few_readings_is_read_by_what_they_allow_and_says_so(count, method, title):
    test = replace(REFERENCE, pressures=REFERENCE.pressures[1::3][:count], flows=REFERENCE.flows[1::3][:count])
    assert usual_method((REFERENCE, test)) == method
    measured = measured_house(loads(TERN, "tern.yaml"), (("as lived in", (test,)),))
    assert measured.envelope.measured_by == title


def test_volumes_that_differ_are_told_and_which_one_counts():
    (told,) = [
        f for f in of_tests((("", (REFERENCE,)),), volume=1.06 * REFERENCE.volume).findings if f.code == "volume"
    ]
    assert in_units(told.message, "ip") == (
        "The test has more than one volume: 25,000 ft3 to 26,500 ft3; air changes are by 25,000 ft3."
    )
    blown = replace(up(), volume=0.9 * REFERENCE.volume)
    assert "volume" in codes(of_tests((("", (REFERENCE, blown)),)), "caution")
    assert "volume" not in codes(of_tests((("", (REFERENCE,)),), volume=1.04 * REFERENCE.volume))
    assert "volume" not in codes(of_tests((("", (replace(REFERENCE, volume=None),)),), volume=5.0))


def test_why_the_last_test_cannot_be_read():
    wild = replace(REFERENCE, baselines_before=(-1.0, -9.0))
    assert why_unread((("rough-in", (REFERENCE,)), ("as lived in", (wild,)))).startswith(
        "the baseline wanders over 8.0"
    )
    assert why_unread((("rough-in", (wild,)), ("as lived in", (REFERENCE,)))) == ""


def test_a_file_of_readings_that_is_not_there_is_told(tmp_path):
    house = loads(TERN.replace("tightness:", "tested: none.csv\n  tightness:"), "tern.yaml")
    with pytest.raises(InputError, match=r"none\.csv: no such file"):
        runs.study(house, ("airtightness",), beside=tmp_path)


def test_a_house_without_a_test_has_no_such_study():
    found = runs.study(loads(TERN, "tern.yaml"), ("door_force",))
    assert "airtightness" not in found.results
    with pytest.raises(InputError, match="airtightness needs envelope / tested"):
        runs.study(loads(TERN, "tern.yaml"), ("airtightness",))
