"""Room volumes and openings that a fuel-gas code asks for: limits of the method, units, sources."""

import pytest

from airledger.errors import OutOfRange
from airledger.rules.combustion_air import (
    WAYS,
    burner_air,
    known_rate_volume,
    opening_area,
    ordinary_air_changes,
    rule,
    source_of,
    standard_is_allowed,
    standard_volume,
)


@pytest.mark.parametrize(("air_changes", "allowed"), [(0.0, False), (0.399, False), (0.40, True), (2.0, True)])
def test_the_standard_volume_is_allowed_from_its_limit_on(air_changes, allowed):
    assert standard_is_allowed(air_changes) is allowed


def test_below_the_slowest_printed_rate_no_volume_is_given():
    assert known_rate_volume(1000.0, 0.0, 0.10) > 0
    with pytest.raises(OutOfRange) as raised:
        known_rate_volume(1000.0, 0.0, 0.0999)
    assert (raised.value.low, raised.value.unit) == (0.10, "1/h")


def test_burners_of_both_kinds_add_up():
    alone = known_rate_volume(1000.0, 0.0, 0.3) + known_rate_volume(0.0, 2000.0, 0.3)
    assert known_rate_volume(1000.0, 2000.0, 0.3) == pytest.approx(alone)


def test_the_metric_volume_is_the_one_the_code_prints():  # 4.83 m3/kW, as quoted by a mechanical code [restated]
    assert standard_volume(1000.0) == pytest.approx(4.83, abs=0.005)


# 550, 1,100 and 700 mm2/kW, as printed beside the inches [published, restated; rounded there]
@pytest.mark.parametrize(("way", "printed"), [*zip(WAYS, (550, 1100, 700), strict=True)])
def test_the_metric_openings_are_those_the_code_prints(way, printed):
    assert opening_area(way, 1000.0) * 1e6 == pytest.approx(printed, rel=0.05)


def test_a_burner_uses_as_much_air_as_it_takes_heat():
    assert burner_air(2000.0) == pytest.approx(2 * burner_air(1000.0))
    assert ordinary_air_changes(8.0) == pytest.approx(0.4)


@pytest.mark.parametrize("key", ["standard volume", "known rate, natural draft", *WAYS])
def test_every_row_was_read_where_the_code_is_quoted(key):
    assert source_of(key).tag == "published (restated)"
    assert rule(key)["title"]


def test_no_row_of_the_table_is_recalled():
    assert source_of("burner need").tag == source_of("leakage over the year").tag == "practice"
