"""The forms, the schema and the frozen house tell of the same things: none misses a field of the other."""

from __future__ import annotations

import dataclasses
import json
from importlib import resources
from pathlib import Path
from typing import Any

import pytest

from airledger.house import air_movers
from airledger.house import house as values
from airledger.io import air_forms, forms, schema
from airledger.io.fields import Form
from airledger.io.marks import tree

TERN = resources.files("airledger.examples").joinpath("tern-street-14.yaml").read_text(encoding="utf-8")
EVERY_BLOCK = (Path(__file__).parent / "every_block.yaml").read_text(encoding="utf-8")

# form, value; what has another name in the value: form's field -> value's fields; kept, not used yet: "".
PAIRS: list[tuple[type[Form], Any, dict[str, str]]] = [
    (
        forms.HouseForm,
        values.House,
        {
            "house": "name",
            "shape": "-",
            "rules": "rulings local_rules balance",
            "people": "bedrooms sleeping",
            "air_handler": "-",
        },
    ),
    (
        forms.SeasonForm,
        values.Season,
        {
            "outdoors": "outdoor_temperature",
            "dew_point": "outdoor_dew_point",
            "indoors": "indoor_temperature",
            "humidity": "indoor_humidity",
        },
    ),
    (forms.WindForm, values.Wind, {"speed": "low high", "from_": "direction"}),
    (forms.SiteForm, values.Site, {"summer": "seasons", "winter": "seasons", "mild": "seasons"}),
    (forms.PressureLimitForm, values.Limit, {}),
    (forms.ForceLimitForm, values.Limit, {}),
    (forms.LimitsForm, values.Limits, {}),
    (forms.RulingForm, values.Ruling, {}),
    (forms.LeakForm, values.Leak, {}),
    (
        forms.EnvelopeForm,
        values.Envelope,
        {"tightness": "tightness tightness_unit", "tested": "tested measured_by", "taped_at_the_test": "taped"},
    ),
    (forms.LevelForm, values.Level, {}),
    (forms.RoomForm, values.Room, {"size": "outline area", "corner": "outline", "air": "air air_as"}),
    (
        forms.OpeningForm,
        values.Opening,
        {
            "leaf": "kind width height",
            "sash": "kind width height",
            "clear": "kind width height",
            "grille": "kind width height",
            "height": "sill",
            "undercut": "undercut carpet",
            "stands": "stands stands_open",
            "lies": "lies_flat",
        },
    ),
    (forms.ApplianceForm, values.Appliance, {"flue": "flue_diameter flue_height shared_with"}),
    (forms.StageForm, values.Stage, {}),
    (air_forms.DuctForm, values.Duct, {"size": "diameter width height"}),
    (air_forms.FilterForm, values.FilterDrop, {}),
    (
        air_forms.RunPart,
        values.RunItem,
        {
            "straight": "kind length rise",
            "elbow": "angle radius_ratio word",
            "wall_cap": "flap",
            "roof_cap": "flap",
            "grille": "width height diameter free",
            **dict.fromkeys(("transition", "tee", "entry", "exit", "fitting", "damper"), "word"),
        },
    ),
    (air_forms.FanCurveForm, values.FanCurve, {}),
    (air_forms.EachWayForm, values.VentilatorSpeed, {}),
    (air_forms.RecoveryForm, values.Recovery, {}),
    (air_forms.VentilatorForm, values.Ventilator, {"off": "core_leaks", "filter": "filters", "ducts": "-"}),
    (air_forms.ExhaustForm, values.Exhaust, {}),
    (air_forms.DamperForm, values.Damper, {}),
    (air_forms.MakeUpFanForm, values.MakeUpFan, {}),
    (
        air_forms.ArrangementForm,
        values.MakeUpAir,
        {"room": "into", "filter": "run", "waits_for_it": "waits", "hood_waits": "waits"},
    ),
]


@pytest.mark.parametrize(("form", "value", "names"), PAIRS, ids=[form.__name__ for form, _, _ in PAIRS])
def test_neither_the_form_nor_the_value_misses_a_field(form: type[Form], value: Any, names: dict[str, str]) -> None:
    assert set(names) <= set(form.model_fields)
    told = {name for field in form.model_fields for name in names.get(field, field).split() if name != "-"}
    fields = {field.name for field in dataclasses.fields(value)}
    assert told == fields - ({"name", "subject"} - told)  # a name stands as the key


def test_every_value_of_the_house_has_its_form() -> None:
    told = {value for _, value, _ in PAIRS} | {values.Flap, values.NamedState, values.Price}
    modules = (values, air_movers)
    found = (value for module in modules for value in vars(module).values() if dataclasses.is_dataclass(value))
    assert told == {value for value in found if value.__module__ in [module.__name__ for module in modules]}


def test_the_schema_knows_every_key_of_the_example_and_of_every_block() -> None:
    root = schema.house_schema()
    for text in (TERN, EVERY_BLOCK):
        assert unknown(tree(text, "house").plain(), root, root) == []


def test_the_schema_refuses_what_the_reader_refuses() -> None:
    root = schema.house_schema()
    plain = tree(TERN.replace("  elevation:", "  elevaton:"), "house").plain()
    assert unknown(plain, root, root) == ["elevaton"]


def test_the_schema_s_text_is_json_and_the_same_each_time() -> None:
    assert json.loads(schema.house_schema_text()) == schema.house_schema()
    assert schema.house_schema_text() == schema.house_schema_text()
    assert schema.house_schema()["required"] == ["house", "site", "envelope", "rooms"]


def unknown(plain: Any, part: dict[str, Any], root: dict[str, Any]) -> list[str]:
    """What a schema does not allow of some content: unknown keys, and wrong types as their text."""
    if "$ref" in part:
        return unknown(plain, root["$defs"][part["$ref"].rpartition("/")[2]], root)
    if "anyOf" in part:
        return min((unknown(plain, choice, root) for choice in part["anyOf"]), key=len)
    types = part.get("type", "object")
    if isinstance(plain, dict) and "object" in types:
        known, rest = part.get("properties", {}), part.get("additionalProperties", True)
        found = []
        for key, value in plain.items():
            if key in known:
                found += unknown(value, known[key], root)
            elif rest is False:
                found.append(key)
            elif isinstance(rest, dict):
                found += unknown(value, rest, root)
        return found
    if isinstance(plain, list) and "array" in types:
        items = part.get("prefixItems") or [part.get("items", {"type": "string"})] * len(plain)
        return [key for value, item in zip(plain, items, strict=True) for key in unknown(value, item, root)]
    if isinstance(plain, str) and "string" in types:
        return []
    return [f"{str(plain)[:30]} is no {types}"] * 5
