"""Each standard's own sums on one set of readings. Printed values: cases/fan_tests.toml; here what stands between."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import InputError
from airledger.physics.leakage import air_changes
from airledger.physics.power_law_fit import fitted_flow
from airledger.rules.airtightness_methods import (
    METHODS,
    PRESSURES,
    AirtightnessResult,
    Measured,
    airtightness_result,
    mean_of_both,
)
from airledger.rules.airtightness_test import PRESSURIZATION
from airledger.units import CFM, FOOT
from tests.unit.rules.fan_tests import REFERENCE


def up(test=REFERENCE):
    """The same readings with the fan turned round, the baseline its own."""
    return replace(
        test,
        direction=PRESSURIZATION,
        pressures=tuple(-p for p in test.pressures),
        baselines_before=tuple(-p for p in test.baselines_before),
        baselines_after=tuple(-p for p in test.baselines_after),
    )


# airtightness.md 4 (computed): In 0.00627, IlnC 0.02165
def test_half_widths_of_the_reference_test():
    fit = airtightness_result(REFERENCE, "e779").fit
    assert fit.student * fit.exponent_error == pytest.approx(0.00627, abs=5e-6)
    assert fit.student * fit.log_coefficient_error == pytest.approx(0.02165, abs=5e-6)


# airtightness.md 4 (computed): 1.0112 and 2.8002 m3/(h m2) by E779, 1.0350 and 2.8661 by ISO 9972
@pytest.mark.parametrize(("method", "envelope", "floor"), [("e779", 1.0112, 2.8002), ("iso9972", 1.0350, 2.8661)])
def test_flow_for_each_square_metre_of_the_reference_test(method, envelope, floor):
    flow = airtightness_result(REFERENCE, method).flow_at(50.0).value * 3600
    assert flow / REFERENCE.envelope_area == pytest.approx(envelope, abs=5e-5)
    assert flow / REFERENCE.floor_area == pytest.approx(floor, abs=5e-5)


# airtightness.md 3, public house case study (published): 327.5 cfm50, 8,571 ft2, 0.67 ACH50 -> 0.038; 29,328 ft3
def test_flow_for_each_square_foot_of_a_public_case_study():
    assert round(327.5 / 8571, 3) == 0.038
    assert air_changes(327.5 * CFM, 29_328 * FOOT**3) == pytest.approx(0.67, abs=5e-5)


# airtightness.md 4 (computed): without the baseline of -2.4 Pa n is 0.746 and Q50 3.1 % less
def test_a_forgotten_baseline_bends_the_line():
    right = airtightness_result(REFERENCE, "e779")
    wrong = airtightness_result(replace(REFERENCE, baselines_before=(), baselines_after=()), "e779")
    assert wrong.exponent.value == pytest.approx(0.746, abs=5e-4)
    before_correction = fitted_flow(wrong.fit, 50.0) / fitted_flow(right.fit, 50.0)
    assert before_correction - 1 == pytest.approx(-0.031, abs=5e-4)
    assert wrong.flow_at(50.0).value < right.flow_at(50.0).value * before_correction  # a wrong n corrects wrongly too


def test_the_flow_may_be_told_at_any_density():
    indoor = airtightness_result(REFERENCE, "e779")
    inside, outside = indoor.air
    told = {"fan": 1.0, "outdoor": inside / outside, "standard": inside / 1.2041}
    for density, factor in told.items():
        flows = tuple(flow * factor for flow in REFERENCE.flows)
        same = airtightness_result(replace(REFERENCE, flow_density=density, flows=flows), "e779")
        assert same.coefficient.value == pytest.approx(indoor.coefficient.value)
    blown = airtightness_result(replace(up(), flow_density="fan"), "e779")
    assert blown.points[0].flow == pytest.approx(up().flows[0] * outside / inside)


@pytest.mark.parametrize("method", METHODS)
def test_every_result_lies_in_its_interval_and_rises_with_pressure(method):
    found = airtightness_result(REFERENCE, method)
    told = [found.exponent, found.coefficient, found.ela4, found.eqla10, found.air_changes(700.0)]
    for one in (*told, *(measured for _, measured in found.flows)):
        assert one.low < one.value < one.high
    assert [p for p, _ in found.flows] == list(PRESSURES)
    values = [measured.value for _, measured in found.flows]
    assert values == sorted(values)


@given(st.sampled_from(METHODS), st.floats(0.3, 3.0))
def test_a_house_that_leaks_more_leaks_more_everywhere(method, factor):
    one = airtightness_result(REFERENCE, method)
    other = airtightness_result(replace(REFERENCE, flows=tuple(f * factor for f in REFERENCE.flows)), method)
    assert other.flow_at(4.0).value == pytest.approx(one.flow_at(4.0).value * factor)
    assert other.ela4.value == pytest.approx(one.ela4.value * factor)
    assert other.exponent.value == pytest.approx(one.exponent.value)


@given(st.sampled_from(METHODS), st.floats(-5.0, 5.0))
def test_a_baseline_that_is_read_changes_nothing(method, shift):
    shifted = replace(
        REFERENCE,
        pressures=tuple(p + shift for p in REFERENCE.pressures),
        baselines_before=(-2.6 + shift,),
        baselines_after=(-2.2 + shift,),
    )
    one, other = (airtightness_result(test, method) for test in (REFERENCE, shifted))
    assert other.flow_at(50.0).value == pytest.approx(one.flow_at(50.0).value)


def test_the_mean_of_both_directions_lies_between_and_is_surer():
    down = airtightness_result(REFERENCE, "e779")
    blown = airtightness_result(up(replace(REFERENCE, flows=tuple(1.1 * f for f in REFERENCE.flows))), "e779")
    both = mean_of_both(down, blown)
    for pressure in PRESSURES:
        one, other, middle = down.flow_at(pressure), blown.flow_at(pressure), both.flow_at(pressure)
        assert middle.value == pytest.approx((one.value + other.value) / 2)
        assert middle.high - middle.low < max(one.high - one.low, other.high - other.low)
    assert both.coefficient.value * 10**both.exponent.value == pytest.approx(both.flow_at(10.0).value)
    assert both.direction == "both, averaged"
    assert len(both.tests) == 2
    with pytest.raises(InputError, match="one test of each, read by one method"):
        mean_of_both(down, down)
    with pytest.raises(InputError, match="one test of each"):
        mean_of_both(down, airtightness_result(up(), "iso9972"))


def test_one_point_takes_the_usual_exponent_and_says_how_far_it_may_be_off():
    one = replace(REFERENCE, pressures=(-48.0,), flows=REFERENCE.flows[2:3])
    found = airtightness_result(one, "e1827-1")
    # airtightness.md 4 (computed): single point at 45.6 Pa, no reference correction, 399.706 cfm
    assert found.flow_at(50.0).value / CFM == pytest.approx(399.706, abs=5e-4)
    assert found.exponent == Measured(0.65, 0.60, pytest.approx(0.70))
    assert found.flow_at(50.0).high / found.flow_at(50.0).value == pytest.approx(1.05, abs=0.002)
    assert found.flow_at(4.0).high / found.flow_at(4.0).value > 1.12
    sharper = airtightness_result(replace(one, accuracy=0.02), "e1827-1")
    assert sharper.flow_at(50.0).high < found.flow_at(50.0).high


def test_two_points_take_the_means_of_repeats():
    two = replace(REFERENCE, pressures=(-52.4, -52.4, -14.9), flows=(0.20, 0.21, 0.08))
    found = airtightness_result(two, "e1827-2")
    assert found.exponent.low < found.exponent.value < found.exponent.high
    slip = replace(two, flows=(0.2, 0.2, 8e-30))
    with pytest.raises(InputError, match="the two readings make an exponent of 47"):
        airtightness_result(slip, "e1827-2")
    near = replace(two, pressures=(-52.4, -47.0), flows=(0.2, 0.19))
    with pytest.raises(
        InputError, match=r"two points need pressures near 50 and 12\.5 Pa; these are 50\.0 and 44\.6 Pa"
    ):
        airtightness_result(near, "e1827-2")


def test_air_that_is_not_told_is_taken_as_mild():
    bare = replace(REFERENCE, indoor_temperature=None, outdoor_temperature=None, elevation=0.0, barometer=None)
    found = airtightness_result(bare, "e779")
    assert found.coefficient.value == pytest.approx(found.fit.coefficient, rel=1e-4)
    iso = airtightness_result(replace(bare, indoor_humidity=None, outdoor_humidity=None), "iso9972")
    assert iso.air == pytest.approx((1.2041, 1.2041), abs=1e-4)
    thin = airtightness_result(replace(bare, elevation=1500.0), "iso9972")
    assert thin.air[0] < 1.03


@pytest.mark.parametrize(
    ("test", "method", "words"),
    [
        (REFERENCE, "e780", "no method is called 'e780'; there are: e779, iso9972, cgsb149, e1827-1, e1827-2"),
        (
            replace(REFERENCE, pressures=(-62.3, 2.0), flows=REFERENCE.flows[:2]),
            "e779",
            "reference.csv:21: 2 Pa is no depressurization once the baseline of -2.4 Pa is taken off",
        ),
        (
            replace(REFERENCE, pressures=(-62.3, -50.0), flows=REFERENCE.flows[:2]),
            "e779",
            "reference.csv: ASTM E779 needs at least 5 readings and a fit at least 3; there are 2: "
            "use e1827-1 or e1827-2",
        ),
    ],
)
def test_what_cannot_be_read_says_why(test, method, words):
    with pytest.raises(InputError) as told:
        airtightness_result(test, method)
    assert str(told.value) == words


def test_a_result_says_by_which_standard_it_is():
    found = airtightness_result(REFERENCE, "iso9972")
    assert isinstance(found, AirtightnessResult)
    assert (found.title, found.corrected, found.reference_density) == ("ISO 9972", True, 1.20)
    assert not airtightness_result(REFERENCE, "e1827-2").corrected
