"""The shape of a house file as JSON Schema (2020-12), generated from the forms that read it."""

from __future__ import annotations

import json
from typing import Any

from airledger.io.forms import HouseForm

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def house_schema() -> dict[str, Any]:
    """The schema; every single value is text, as a house file's reader takes it."""
    schema: dict[str, Any] = HouseForm.model_json_schema(by_alias=True, mode="validation")
    return {"$schema": DIALECT, **schema, "title": "airledger house file, shape 1"}


def house_schema_text() -> str:
    """The schema as text, the same on every machine."""
    return json.dumps(house_schema(), indent=2, ensure_ascii=False, sort_keys=True) + "\n"
