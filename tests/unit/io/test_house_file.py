"""The house file read into a House: every block and every way of saying, against conversions made elsewhere."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import pytest
from scipy import constants

from airledger.errors import HouseFileError
from airledger.house.house import House, VentilatorSpeed
from airledger.io import house_file

EVERY_BLOCK = Path(__file__).parent / "every_block.yaml"
TERN = resources.files("airledger.examples").joinpath("tern-street-14.yaml").read_text(encoding="utf-8")
ONE_ROOM = """\
house: one room
site: {elevation: 0 ft}
envelope: {tightness: 1.0 ach50}
rooms: {house: {area: 2500 ft2, ceiling: 10 ft}}
"""
CFM = constants.foot**3 / constants.minute  # scipy's own constants, CODATA and NIST SP 811
MAKE_UP = "make-up air: {opening: {into: house, duct: {size: 10 in round, made of: galvanized}, "


def loaded(*more: str, base: str = ONE_ROOM) -> House:
    return house_file.loads(base + "\n".join(more) + "\n")


def tightness(said: str, exponent: str = "0.65") -> House:
    return house_file.loads(ONE_ROOM.replace("1.0 ach50", f"{said}, exponent: {exponent}"))


def test_the_one_room_house_needs_house_site_envelope_and_rooms_alone() -> None:
    house = loaded()
    assert house.volume == pytest.approx(25_000 * constants.foot**3)
    assert house.envelope.tightness.likely == 1.0
    assert house.envelope.exponent is None
    assert house.make_up_air is None
    assert house.exhausts == house.openings == house.states == ()


def test_the_one_room_house_with_a_hood_and_a_hole_that_was_taped() -> None:
    house = loaded(
        "exhausts: {hood: {room: house, speeds: {high: 600 cfm}}}",
        MAKE_UP + "run: [straight: 15 ft, loss: 3], damper: none}}",
        base=ONE_ROOM.replace("1.0 ach50", "1.0 ach50, taped at the test: [opening]"),
    )
    (opening,) = house.make_up_air or ()
    assert house.exhausts[0].speeds == (("high", pytest.approx(600 * CFM)),)
    assert [(item.kind, item.length, item.loss) for item in opening.run] == [
        ("straight", pytest.approx(15 * constants.foot), None),
        ("loss", 0.0, 3.0),
    ]
    assert (opening.damper.kind, opening.duct.diameter) == ("none", pytest.approx(10 * constants.inch))
    assert house.envelope.taped == ("opening",)


def test_tern_street_says_what_its_file_says() -> None:
    house = house_file.loads(TERN, "tern-street-14.yaml")
    assert (house.envelope.tightness.low, house.envelope.tightness.likely, house.envelope.tightness.high) == (
        0.6,
        1.1,
        1.8,
    )
    assert [leak.share for leak in house.envelope.leaks] == [0.30, 0.25, 0.20, 0.25]
    assert house.room("great room").area == pytest.approx(28 * 24 * constants.foot**2)
    assert house.room("hall").area == pytest.approx((25 * 4 + 4 * 26) * constants.foot**2)
    assert [season.outdoor_temperature for season in house.site.seasons] == [
        pytest.approx(constants.convert_temperature(91, "F", "C")),
        pytest.approx(constants.convert_temperature(48, "F", "C")),
    ]
    assert house.limits.door_pull is not None
    assert house.limits.door_pull.wanted == house.limits.door_pull.tolerated == pytest.approx(5 * constants.lbf)
    hood = house.exhausts[0]
    assert (hood.name, hood.kind, hood.room) == ("range hood", "hood", "great room")
    assert [item.kind for item in hood.run] == ["straight", "elbow", "straight", "wall cap"]
    assert hood.run[3].flap is not None
    assert hood.run[3].flap.leaks_shut == (pytest.approx(4 * CFM), 25.0)
    assert hood.fan_curve is not None
    assert hood.fan_curve.points[1] == (pytest.approx(600 * CFM), pytest.approx(0.9 * 249.0889))
    assert house.make_up_air is None
    assert len(house.openings) == 9
    assert len(house.states) == 4
    assert (house.bedrooms, house.sleeping) == (3, 4)


def test_tern_street_has_no_caution() -> None:
    assert house_file.read_text(TERN).cautions == ()


def test_alder_court_stands_on_its_basement_and_burns_gas_there() -> None:
    text = resources.files("airledger.examples").joinpath("alder-court-9.yaml").read_text(encoding="utf-8")
    read = house_file.read_text(text)
    assert read.cautions == ()
    house = read.house
    assert house.volume == pytest.approx(40 * 26 * (7.5 + 8) * constants.foot**3)
    assert [appliance.vents for appliance in house.appliances] == ["natural draft", "direct vent"]
    assert house.make_up_air is None


def test_the_house_of_every_block_loads_and_tells_what_is_not_used_yet() -> None:
    read = house_file.read(EVERY_BLOCK)
    assert [(caution.line, caution.text.partition(";")[0]) for caution in read.cautions] == [
        (63, "not used yet: ventilator ducts"),
        (103, "not used yet: air handler"),
    ]
    assert read.form.air_handler is not None
    assert read.form.air_handler.leaks is not None
    assert read.form.air_handler.leaks.return_ == "3 % from attic"


def test_the_blocks_of_the_building_land_in_the_house() -> None:
    house = house_file.load(EVERY_BLOCK)
    assert [(ruling.says, ruling.on) for ruling in house.rulings] == [("enough", "2026-10-02"), ("not needed", "")]
    assert house.site.wind is not None
    assert (house.site.wind.low, house.site.wind.direction) == (0.0, None)
    assert house.site.wind.high == pytest.approx(15 * constants.mph)
    assert house.floor("basement") == pytest.approx(-8 * constants.foot)
    assert dict(house.room("basement").air)["winter"] == pytest.approx(constants.convert_temperature(62, "F", "C"))
    assert house.room("crawl").air_as == "outdoors"
    openings = {opening.name: opening for opening in house.openings}
    assert (openings["stairs"].kind, openings["stairs"].door, openings["stairs"].lies_flat) == (
        "clear",
        "basement door",
        True,
    )
    assert openings["entry door"].knob == pytest.approx(2.75 * constants.inch)
    assert (openings["bath door"].carpet, openings["bath door"].swings) == (True, "in")
    assert openings["kitchen window"].stands_open == pytest.approx(2 * constants.inch)
    assert openings["bath grille"].sill == pytest.approx(8 * constants.foot)
    assert openings["round grille"].width ** 2 == pytest.approx(constants.pi / 4 * (8 * constants.inch) ** 2)


def test_the_blocks_of_the_machines_land_in_the_house() -> None:
    house = house_file.load(EVERY_BLOCK)
    ventilator = house.ventilator
    assert ventilator is not None
    assert ventilator.speeds[0] == VentilatorSpeed("low", pytest.approx(62 * CFM), pytest.approx(60 * CFM))  # type: ignore[arg-type]
    assert ventilator.core_leaks == (pytest.approx(5 * CFM), 25.0)
    assert [side for side, _ in ventilator.filters] == ["outdoor side", "house side"]
    exhausts = {exhaust.name: exhaust for exhaust in house.exhausts}
    assert exhausts["range hood"].wanted == pytest.approx(400 * CFM)
    assert exhausts["range hood"].use == pytest.approx(40 * 60 * 365)
    assert exhausts["range hood"].run[1].rise == pytest.approx(6 * constants.foot)
    assert exhausts["dryer"].use == pytest.approx(5 * 3600 * 365 / 7)
    assert (exhausts["second dryer"].vented, exhausts["second dryer"].speeds) == ("heat pump", ())
    assert exhausts["fireplace"].kind == "open fireplace"
    assert (exhausts["shop vacuum"].not_picked, exhausts["shop vacuum"].speeds) == (pytest.approx(120 * CFM), ())


def test_the_blocks_of_make_up_air_and_appliances_land_in_the_house() -> None:
    house = house_file.load(EVERY_BLOCK)
    opening, relief = house.make_up_air or ()
    assert opening.starts_with == (("range hood", "medium and up"), ("dryer", "on"))
    assert (opening.waits, opening.damper.opens_in) == (("range hood",), 30.0)
    assert opening.fan is not None
    assert (opening.fan.mismatch, opening.fan.heats) == (0.1, 5000.0)
    assert (relief.damper.kind, relief.damper.opens_at, relief.into) == ("gravity", 12.0, "basement")
    assert [item.kind for item in relief.run] == ["wall cap", "filter"]
    heater = house.appliances[1]
    assert heater.flue_diameter == pytest.approx(4 * constants.inch)
    assert heater.input == pytest.approx(40_000 * constants.Btu / constants.hour)
    assert house.stages[0].decides == ("make-up air", "hood duct")


@pytest.mark.parametrize(
    ("said", "unit", "low", "likely", "high"),
    [
        ("1.1 ach50", "ach50", 1.1, 1.1, 1.1),
        ("0.6 to 1.8 ach50 (likely 1.1)", "ach50", 0.6, 1.1, 1.8),
        ("0.6 to 1.8 ach50", "ach50", 0.6, 1.2, 1.8),
        ("0.6 ach50 to 1.8 ach50", "ach50", 0.6, 1.2, 1.8),
        ("1.1 ach50 +- 10 %", "ach50", 0.99, 1.1, 1.21),
        ("1.1 ach50 ± 10 %", "ach50", 0.99, 1.1, 1.21),
        ("1.1 ach50 +/- 0.2 ach50", "ach50", 0.9, 1.1, 1.3),
        ("1.1 +- 0.2 ach50", "ach50", 0.9, 1.1, 1.3),
        ("300 cfm50", "flow50", 300 * CFM, 300 * CFM, 300 * CFM),
        ("200 to 400 cfm50 (likely 250)", "flow50", 200 * CFM, 250 * CFM, 400 * CFM),
        ("100 L/s50", "flow50", 0.1, 0.1, 0.1),
    ],
)
def test_tightness_is_said_in_these_ways(said: str, unit: str, low: float, likely: float, high: float) -> None:
    envelope = tightness(said).envelope
    assert envelope.tightness_unit == unit
    assert (envelope.tightness.low, envelope.tightness.likely, envelope.tightness.high) == pytest.approx(
        (low, likely, high)
    )


@pytest.mark.parametrize(
    ("said", "low", "likely", "high"),
    [("0.65 +- 0.05", 0.60, 0.65, 0.70), ("0.6 to 0.7", 0.60, 0.65, 0.70), ("0.65", 0.65, 0.65, 0.65)],
)
def test_the_exponent_may_be_a_range(said: str, low: float, likely: float, high: float) -> None:
    exponent = tightness("1 ach50", said).envelope.exponent
    assert exponent is not None
    assert (exponent.low, exponent.likely, exponent.high) == pytest.approx((low, likely, high))


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("range hood", "hood"),
        ("dryer", "dryer"),
        ("tumble dryer 2", "dryer"),
        ("bath fan", "bath fan"),
        ("central vacuum", "vacuum"),
        ("fireplace", "open fireplace"),
        ("paint booth", "exhaust"),
    ],
)
def test_the_kind_of_an_exhaust_is_guessed_from_its_name(name: str, kind: str) -> None:
    assert loaded(f"exhausts: {{{name}: {{room: house, speeds: {{on: 100 cfm}}}}}}").exhausts[0].kind == kind


def test_a_name_that_says_no_kind_is_a_caution_and_kind_silences_it() -> None:
    text = ONE_ROOM + "exhausts: {booth: {room: house, speeds: {on: 90 cfm}}}\n"
    assert "does not say what it is" in house_file.read_text(text).cautions[0].text
    assert house_file.read_text(text.replace("room: house,", "room: house, kind: vacuum,")).cautions == ()


@pytest.mark.parametrize(("said", "expected"), [("undecided", None), ("none", ()), ("{}", ())])
def test_make_up_air_is_undecided_or_none(said: str, expected: tuple[()] | None) -> None:
    assert loaded(f"make-up air: {said}").make_up_air == expected


def test_one_make_up_arrangement_needs_no_name() -> None:
    house = loaded(
        "exhausts: {range hood: {room: house, speeds: {high: 600 cfm}}, dryer: {room: house, speeds: {on: 125 cfm}}}",
        "make-up air: {room: house, duct: {size: 10 in round}, run: [wall cap: {loss: 1.5}],",
        "  damper: motorized, filter: merv 8,",
        "  starts with: [range hood, dryer], hood waits: for the damper's end switch}",
    )
    (opening,) = house.make_up_air or ()
    assert (opening.name, opening.into, opening.waits) == ("make-up air", "house", ("range hood",))
    assert opening.starts_with == (("range hood", "any speed"), ("dryer", "any speed"))


def test_speeds_stand_from_low_to_high_however_they_were_typed() -> None:
    house = loaded("exhausts: {hood: {room: house, speeds: {high: 600 cfm, low: 200 cfm}}}")
    assert [name for name, _ in house.exhausts[0].speeds] == ["low", "high"]


def test_a_rated_point_alone_is_a_machine_with_one_speed() -> None:
    house = loaded("exhausts: {hood: {room: house, rated: 900 cfm at 0.1 inwc}}")
    assert house.exhausts[0].speeds == (("on", pytest.approx(900 * CFM)),)
    assert house.exhausts[0].rated == (pytest.approx(900 * CFM), pytest.approx(24.90889))


@pytest.mark.parametrize(
    ("more", "line", "caution"),
    [
        (
            "exhausts: {hood: {room: house, speeds: {on: 600 cfm}, duct: {size: 3 in round}, run: [exit: plain]}}",
            5,
            "62 m/s",
        ),
        (
            "exhausts: {hood: {room: house, speeds: {on: 900 cfm},\n"
            "  fan curve: {at: on, points: [[0 cfm, 1 inwc], [600 cfm, 0.2 inwc]]}}}",
            6,
            "hood: on says 900 cfm (425 L/s), its curve gives no more than 750 cfm (354 L/s)",
        ),
        ("stages:\n  rough-in:\n    decides:\n      - duct #2\n", 8, "'duct' ends before the #"),
    ],
)
def test_what_is_foolish_is_a_caution(more: str, line: int, caution: str) -> None:
    cautions = house_file.read_text(ONE_ROOM + more).cautions
    assert [(found.line, caution in found.text) for found in cautions] == [(line, True)]


def test_words_behind_a_remark_sign_with_a_space_are_a_remark() -> None:
    assert house_file.read_text(ONE_ROOM + "people: {bedrooms: 3} # as drawn\n").cautions == ()


def test_a_room_without_ceiling_and_a_site_without_elevation_are_told() -> None:
    text = ONE_ROOM.replace("elevation: 0 ft", "place: Homestead").replace(", ceiling: 10 ft", "")
    assert [caution.text for caution in house_file.read_text(text).cautions] == [
        "no elevation: sea level is taken",
        "house has no ceiling height: 8 ft (2.44 m) is taken",
    ]


def test_the_order_of_blocks_does_not_matter() -> None:
    lines = ONE_ROOM.splitlines()
    assert house_file.loads("\n".join(reversed(lines))) == house_file.loads(ONE_ROOM)


@pytest.mark.parametrize(
    "change", [lambda text: text.replace("\n", "\r\n"), lambda text: "\ufeff" + text, lambda text: text.rstrip()]
)
def test_line_ends_and_byte_order_marks_change_nothing(change: object, tmp_path: Path) -> None:
    assert callable(change)
    file = tmp_path / "house.yaml"
    file.write_bytes(change(TERN).encode())
    assert house_file.load(file) == house_file.loads(TERN)


def test_plain_words_of_yaml_keep_their_letters() -> None:
    house = loaded("stages: {rough-in: {by: 2027-03-02, decides: [on, no, 1.0, 0x10]}}")
    assert house.stages[0].by == "2027-03-02"
    assert house.stages[0].decides == ("on", "no", "1.0", "0x10")


@pytest.mark.parametrize(
    ("said", "files"),
    [
        ("readings/tern-14.csv", (("as lived in", ("readings/tern-14.csv",)),)),
        ("[down.csv, up.csv]", (("as lived in", ("down.csv", "up.csv")),)),
        (
            "{rough-in: a.csv, for the code: [b.csv, c.csv]}",
            (("rough-in", ("a.csv",)), ("for the code", ("b.csv", "c.csv"))),
        ),
    ],
)
def test_readings_are_named_by_the_stage_of_the_test(said: str, files: object) -> None:
    assert house_file.loads(ONE_ROOM.replace("tightness: 1.0 ach50", f"tested: {said}")).envelope.tested == files
    both = house_file.loads(ONE_ROOM.replace("tightness: 1.0 ach50", f"tightness: 1.0 ach50, tested: {said}"))
    assert both.envelope.tightness.likely == 1.0


def test_a_stage_that_no_test_has_is_refused_with_what_is_allowed() -> None:
    with pytest.raises(HouseFileError, match="rough-in"):
        house_file.loads(ONE_ROOM.replace("tightness: 1.0 ach50", "tested: {rough in: a.csv}"))
    with pytest.raises(HouseFileError, match="tightness is missing"):
        house_file.loads(ONE_ROOM.replace("tightness: 1.0 ach50", "exponent: 0.65"))
