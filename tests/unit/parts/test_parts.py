"""Parts: plain names, nearest words, tags, tables read between their columns and never beyond."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger import parts
from airledger.errors import OutOfRange, QuantityError
from airledger.sources import TAGS, table

FILES = ("actuators", "caps", "dampers", "ducts", "filters", "fittings", "grilles")


def values(entry):
    """Every entry of a table that holds a number."""
    if isinstance(entry, dict):
        if {"value", "values", "flow"} & set(entry):
            yield entry
        for inner in entry.values():
            yield from values(inner)


@pytest.mark.parametrize("name", FILES)
def test_every_number_has_a_source_and_a_known_tag(name):
    content = table(f"parts/{name}")
    outer = {"source": "", "tag": ""} | content.get("material", {})
    found = list(values(content))
    assert found
    for entry in found:
        assert entry.get("source", outer["source"]), entry
        assert entry.get("tag", outer["tag"]) in TAGS, entry
        if "low" in entry:
            assert entry["low"] <= entry["value"] <= entry["high"], entry


def test_a_material_answers_to_its_other_names_whatever_the_capitals():
    for word in ("galvanized", "Galvanised", "sheet metal"):
        assert parts.roughness(word).value == 9e-5
        assert not parts.is_flexible(word)
    assert parts.is_flexible("insulated flex")
    assert parts.roughness("flex").source.confirmed
    assert "flex" in parts.duct_materials()


def test_an_unknown_word_is_answered_with_the_nearest():
    with pytest.raises(QuantityError) as refused:
        parts.roughness("galvinized")
    assert str(refused.value).startswith("cannot read 'galvinized': a duct material is one of ")
    assert str(refused.value).endswith("did you mean 'galvanized'?")
    with pytest.raises(QuantityError) as refused:
        parts.damper("pneumatic")
    assert str(refused.value) == "cannot read 'pneumatic': a damper is one of gravity, motorized, none"


@pytest.mark.parametrize(
    ("call", "word", "near"),
    [
        (parts.cap, "wall-cap with flapp", "wall cap with flap"),
        (parts.filter_grade, "merv13 ", "merv 13"),
        (parts.grille, "makeup", "make-up"),
        (parts.opening_time, "spring", "spring return"),
        (parts.fitting_loss, "plane tee", "plain tee"),
        (lambda word: parts.screen_loss(0.5, word), "square edge", "square-edged"),
    ],
)
def test_each_lookup_names_the_nearest_word(call, word, near):
    with pytest.raises(QuantityError, match=f"did you mean '{near}'"):
        call(word)


def test_a_cap_without_a_flap_has_no_opening_pressure():
    assert parts.cap("wall cap").opens_at is None
    flap = parts.cap("wall cap with flap")
    assert flap.opens_at is not None
    assert flap.leaks_shut is not None
    assert not flap.opens_at.source.confirmed
    assert "unconfirmed" in flap.opens_at.source.text


def test_dampers_filters_grilles_and_motors_carry_what_a_run_needs():
    assert parts.damper("motorized").leaks_shut is not None
    assert parts.damper("none").loss.value == 0.0
    grades = [parts.filter_grade(f"MERV {grade}") for grade in (6, 8, 11, 13)]
    assert all(grade.clean.value < grade.dirty.value for grade in grades)
    assert [grade.clean.value for grade in grades] == sorted(grade.clean.value for grade in grades)
    assert 0 < parts.grille("transfer").free.value < 1
    assert parts.grille("transfer").face_speed.value > 0
    motor = parts.opening_time()
    assert (motor.low, motor.high) == (15.0, 90.0)
    assert parts.usual_compression().value == 0.15
    assert list(parts.round_sizes()) == sorted(parts.round_sizes())
    assert "exit" in parts.fitting_words()


def test_the_usual_elbow_is_the_adjustable_one():
    usual = parts.elbow_loss(math.pi / 2)
    assert (usual.word, usual.value) == ("4-gore elbow", 0.37)
    assert parts.elbow_loss(0.0).value == 0.0


def test_an_elbow_known_at_one_radius_is_told_at_that_radius():
    assert parts.elbow_loss(math.pi / 2, "die-stamped").value == 0.11
    with pytest.raises(OutOfRange, match="radius of an elbow over its diameter 1 "):
        parts.elbow_loss(math.pi / 2, "die-stamped", 1.0)


@given(st.sampled_from([word for word in parts.elbow_words() if word != "die-stamped"]), st.floats(0.0, 1.5))
def test_a_sharper_turn_never_loses_less(word, turn):
    assert parts.elbow_loss(turn + 0.05, word).value >= parts.elbow_loss(turn, word).value


@given(st.floats(0.0, 1.0))
def test_a_damper_further_shut_never_loses_less(angle):
    assert parts.butterfly_loss(angle + 0.04).value > parts.butterfly_loss(angle).value


@pytest.mark.parametrize(
    "call",
    [
        lambda: parts.elbow_loss(2.0),
        lambda: parts.elbow_loss(1.0, "4-gore", 3.0),
        lambda: parts.butterfly_loss(1.2),
        lambda: parts.screen_loss(0.2),
        lambda: parts.bell_entry_loss(0.5),
        lambda: parts.fan_inlet_elbow_loss(20.0),
    ],
)
def test_nothing_is_read_beyond_a_table(call):
    with pytest.raises(OutOfRange):
        call()
