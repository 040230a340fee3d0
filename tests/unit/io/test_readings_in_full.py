"""Blower-door readings: the least and the most of every key, every refusal with what is allowed and near."""

import pytest

from airledger.errors import ReadingsFileError
from airledger.io.readings_file import read_test_text
from airledger.units import CFM
from tests.unit.io.test_readings_file import GOOD, without

UNNAMED = "r.csv:1: no instrument is named: an inspector will ask; add  # instrument: ... and its calibration date"


def whole(text):
    with pytest.raises(ReadingsFileError) as told:
        read_test_text(text, "r.csv")
    (one,) = told.value.faults
    return one.key, one.problem, one.allowed, one.nearest


def key(name, value):
    """The good file with one key's value."""
    lines = [f"# {name}: {value}" if line.startswith(f"# {name}:") else line for line in GOOD.splitlines()]
    if not any(line.startswith(f"# {name}:") for line in lines):
        lines.insert(1, f"# {name}: {value}")
    return "\n".join(lines) + "\n"


BOUNDS = [
    ("indoor temperature", "indoor_temperature", ("-40 C", "-40.1 C"), ("60 C", "60.1 C"), "−40 to 140 F"),
    ("outdoor temperature", "outdoor_temperature", ("-60 C", "-60.1 C"), ("60 C", "60.1 C"), "−76 to 140 F"),
    ("indoor humidity", "indoor_humidity", ("0 %", "-1 %"), ("100 %", "101 %"), "0 to 100 %"),
    ("outdoor humidity", "outdoor_humidity", ("0 %", "-1 %"), ("100 %", "101 %"), "0 to 100 %"),
    ("elevation", "elevation", ("-500 m", "-501 m"), ("6000 m", "6001 m"), "−1,600 to 19,000 ft"),
    ("barometer", "barometer", ("40 kPa", "39.9 kPa"), ("110 kPa", "110.1 kPa"),
     "40 to 110 kPa at the place, not at sea level"),
    ("volume", "volume", ("10 m3", "9.9 m3"), ("100000 m3", "100001 m3"), "350 to 3,500,000 ft3"),
    ("floor area", "floor_area", ("5 m2", "4.9 m2"), ("20000 m2", "20001 m2"), "50 to 200,000 ft2"),
    ("envelope area", "envelope_area", ("10 m2", "9.9 m2"), ("60000 m2", "60001 m2"), "100 to 600,000 ft2"),
    ("height", "height", ("1.8 m", "1.79 m"), ("60 m", "60.1 m"), "6 to 200 ft"),
    ("wind", "wind", ("0 m/s", "-0.1 m/s"), ("40 m/s", "40.1 m/s"), "0 to 90 mph"),
    ("accuracy", "accuracy", ("0.1 %", "0.09 %"), ("50 %", "51 %"), "0.1 to 50 %"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "field", "least", "most", "range_"), BOUNDS)
def test_the_least_and_the_most_of_a_key(name, field, least, most, range_):
    for kept, past in (least, most):
        assert getattr(read_test_text(key(name, kept), "r.csv").test, field) is not None
        assert whole(key(name, past)) == (name, f"{past!r} cannot be", range_, "")


def test_a_baseline_of_sixty_pascals_is_one_and_of_more_is_none():
    assert read_test_text(key("baseline before", "-60 60 Pa"), "r.csv").test.baselines_before == (-60.0, 60.0)
    assert whole(key("baseline before", "60.1 Pa")) == (
        "baseline before", "60.1 Pa is no baseline: nothing blows then", "−60 to 60 Pa", "",
    )  # fmt: skip
    assert whole(key("baseline after", "none")) == (
        "baseline after", "no value stands here", "a pressure, or several: -2.6 -2.4 -2.5 Pa", "",
    )  # fmt: skip


def test_minus_signs_and_separators_as_people_type_them():
    for typed in ("−2.6 −2.4 Pa", "-2.6, -2.4 Pa", "-2.6;-2.4 Pa", "-2.6   -2.4  Pa"):
        assert read_test_text(key("baseline before", typed), "r.csv").test.baselines_before == (-2.6, -2.4)
    assert read_test_text(key("baseline before", ".5 +.5 Pa"), "r.csv").test.baselines_before == (0.5, 0.5)


KEYS = (
    "direction, flow density, indoor temperature, outdoor temperature, indoor humidity, outdoor humidity, elevation, "
    "barometer, volume, floor area, envelope area, height, wind, accuracy, baseline before, baseline after, "
    "instrument, taped, date, address, tester, house, stage, remark, fan calibration"
)
FAN = GOOD.replace("flow [cfm]", "fan pressure [Pa]")


def curve(words):
    return FAN.replace("# taped", f"# fan calibration: {words}\n# taped")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (key("direction", "up"), ("direction", "'up' is not known", "depressurization, pressurization", "")),
        (key("direction", "Pressurisation"),
         ("direction", "'Pressurisation' is not known", "depressurization, pressurization", "pressurization")),
        (key("flow density", "indor"), ("flow density", "'indor' is not known", "fan, indoor, outdoor, standard",
                                        "indoor")),
        (key("volum", "3"), ("volum", "no such key", KEYS, "volume")),
        (without("direction"), ("direction", "is missing", "a line like  # direction: depressurization", "")),
        (GOOD.replace("flow [cfm]", "flow [cfm],flw [cfm]").replace("495", "495,1").replace("455", "455,1"),
         ("heading", "no such column 'flw'", "pressure, flow, fan pressure, ring", "flow")),
        (GOOD.partition("pressure [Pa]")[0], ("heading", "is missing", "pressure [Pa],flow [cfm]", "")),
        (GOOD.replace(",flow [cfm]", "").replace(",495", "").replace(",455", ""),
         ("heading", "no column of flows", "pressure [Pa],flow [cfm]", "")),
        (GOOD.replace("pressure [Pa],", "").replace("-62.3,", "").replace("-55.1,", ""),
         ("heading", "no column of pressures", "pressure [Pa],flow [cfm]", "")),
        (GOOD.replace("flow [cfm]", "flow [cfm],flow [L/s]").replace("495", "495,1").replace("455", "455,1"),
         ("flow", "stands twice in the heading: which one is meant?", "one column of each", "")),
        (GOOD.partition("-62.3")[0],
         ("readings", "there are none below the heading", "a row for each pressure", "")),
        (FAN, ("fan pressure", "needs your fan's calibration", "# fan calibration: 12.3 cfm at 1 Pa, exponent 0.5",
               "")),
        (curve("a lot"), ("fan calibration", "cannot read 'a lot'",
                          "a flow and an exponent: 12.3 cfm at 1 Pa, exponent 0.5", "")),
        (curve("0 cfm at 1 Pa, exponent 0.5"), ("fan calibration", "0 cfm cannot be", "a flow above 0", "")),
        (curve("9 cfm at 1 Pa, exponent 0.29"),
         ("fan calibration", "no fan has an exponent of 0.29", "0.3 to 1, about 0.5", "")),
        (curve("9 cfm at 1 Pa, exponent 1.01"),
         ("fan calibration", "no fan has an exponent of 1.01", "0.3 to 1, about 0.5", "")),
        (GOOD.replace("495", "0"), ("flow", "0 cfm cannot be", "a flow above 0, whichever way it goes", "")),
        (GOOD.replace("-62.3", "-300.1"), ("pressure", "-300.1 Pa is more than any test", "up to 300 Pa", "")),
        (GOOD.replace("-62.3", "-2.9").replace("-55.1", "-2.8"),
         ("pressure", "no reading reaches 3 Pa: is the unit in the heading right?", "pressure [Pa]", "")),
        (GOOD.replace("-55.1", "55.1"),
         ("pressure", "positive and negative mixed; a depressurization reads below 0", "inside minus outdoors", "")),
        (GOOD.replace("-55.1", "0"),
         ("pressure", "positive and negative mixed; a depressurization reads below 0", "inside minus outdoors", "")),
        (GOOD.replace("-62.3", "62.3").replace("-55.1", "55.1"),
         ("pressure", "every reading has the wrong sign: a depressurization reads below 0",
          "inside minus outdoors; sizes without a sign only where both baselines are 0 Pa", "")),
        (GOOD.replace("[cfm]", "[m3/s]").replace("495", "100.1").replace("455", "99"),
         ("flow", "100.1 makes 100 m3/s, more than any test fan blows: is the unit in the heading right?",
          f"up to {100 / CFM:,.0f} cfm", "")),
        (GOOD.replace("# volume:", "# volume"),
         ("volume", "no colon after the key, so that it would be read as a remark", "# volume: ...", "")),
    ],
)  # fmt: skip
def test_a_refusal_in_full(text, told):
    found = whole(text)
    assert found[:2] == told[:2]
    assert told[2] is None or found[2] == told[2]
    assert found[3] == told[3]


@pytest.mark.parametrize(
    "text",
    [
        GOOD.replace("-62.3", "-300"), GOOD.replace("-62.3", "-3").replace("-55.1", "-2"),
        GOOD.replace("[cfm]", "[m3/s]").replace("495", "100").replace("455", "99"),
        curve("9 cfm at 1 Pa, exponent 0.3"), curve("9 cfm at 1 Pa, exponent 1.0"),
    ],
)  # fmt: skip
def test_the_last_that_is_read(text):
    assert len(read_test_text(text, "r.csv").test.flows) == 2


# Q = Q1 p^n; a ring's own line before that of the fan
def test_a_fan_s_own_line():
    text = curve("9 cfm at 1 Pa, exponent 0.4").replace(",495", ",32").replace(",455", ",-1")
    assert read_test_text(text, "r.csv").test.flows == pytest.approx((9 * 32**0.4 * CFM, 9 * CFM))
    ringed = (
        text.replace("fan pressure [Pa]", "fan pressure [Pa],ring").replace(",32", ",32,C4").replace(",-1", ",1,open")
    )
    ringed = ringed.replace("# taped", "# fan calibration ring c4: 3 cfm at 1 Pa, exponent 0.5\n# taped")
    assert read_test_text(ringed, "r.csv").test.flows == pytest.approx((3 * 32**0.5 * CFM, 9 * CFM))
    assert read_test_text(ringed, "r.csv").test.rings == ("C4", "open")
    alone = ringed.replace("# fan calibration: 9 cfm at 1 Pa, exponent 0.4\n", "")
    assert whole(alone) == ("ring", "no calibration of ring 'open'", "fan calibration ring c4", "")


@pytest.mark.parametrize(
    ("text", "caution"),
    [
        (without("instrument"), UNNAMED),
        (without("baseline before", "baseline after"),
         "r.csv:1: no baseline: taken as 0 Pa; read it before and after with the fan covered"),
        (without("indoor temperature"), "r.csv:1: no indoor temperature: taken as 68 F"),
        (without("indoor temperature", "outdoor temperature"),
         "r.csv:1: no indoor temperature and no outdoor temperature: taken as 68 F"),
        (without("elevation", "barometer"), "r.csv:1: no elevation and no barometer: taken at sea level"),
        (without("volume"), "r.csv:1: no volume: flows are told, air changes are not"),
        (key("indoor temperature", "-1 C"), "r.csv:2: -1 C indoors: is the unit right?"),
        (key("indoor temperature", "41 C"), "r.csv:2: 41 C indoors: is the unit right?"),
    ],
)  # fmt: skip
def test_a_caution_in_full(text, caution):
    read = read_test_text(text, "r.csv")
    assert read.cautions == read.test.odd
    assert read.cautions == (caution,)


# 1 ft3 of fan a minute in 1 ft3 is 60 air changes an hour; carried to 50 Pa by n = 0.65
def test_air_changes_that_no_house_has_are_asked_about():
    def at_50(volume):
        return key("volume", volume).replace("-62.3,495", "-50,100").replace("-55.1,455", "-40,80")

    bare = "\n".join(line for line in at_50("99 ft3").splitlines() if "area:" not in line) + "\n"
    assert whole(bare)[0] == "volume"
    small = bare.replace("99 ft3", "360 ft3").replace("-50,100", "-50,370").replace("-40,80", "-40,300")
    assert read_test_text(small, "r.csv").cautions == (
        "r.csv:15: about 62 air changes at 50 Pa: is the unit of flow or volume right?",
    )
    assert read_test_text(small.replace("-50,370", "-50,355"), "r.csv").cautions == ()
    large = bare.replace("99 ft3", "100,000 ft3").replace("-50,100", "-50,82").replace("-40,80", "-40,60")
    assert read_test_text(large, "r.csv").cautions == (
        "r.csv:15: about 0.049 air changes at 50 Pa: is the unit of flow or volume right?",
    )
    assert read_test_text(large.replace("-50,82", "-50,85"), "r.csv").cautions == ()


@pytest.mark.parametrize(("area", "asked"), [("393 m2", False), ("394 m2", True), ("79 m2", False), ("78 m2", True)])
def test_ceilings_of_six_to_thirty_feet(area, asked):
    found = read_test_text(key("floor area", area), "r.csv").cautions  # 25,000 ft3 are 707.9 m3: 1.8 to 9 m
    assert bool(found) == asked
