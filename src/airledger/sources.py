"""Where numbers come from, and the one reader of the tables that ship with the package."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

TAGS = ("published", "published (restated)", "published (abstract)", "computed", "memory", "practice")


@dataclass(frozen=True)
class Source:
    """The origin of a number.

    name: what to cite · tag: one of `TAGS`; `memory` shows as "unconfirmed", `practice` as "common practice".
    """

    name: str
    tag: str

    @property
    def confirmed(self) -> bool:
        """Whether the number was seen in print or can be recomputed."""
        return self.tag.startswith("published") or self.tag == "computed"

    @property
    def text(self) -> str:
        """The source as printed beside a number."""
        if self.tag == "memory":
            return f"{self.name} (recalled, unconfirmed)"
        if self.tag == "practice":
            return f"{self.name} (common practice)" if self.name else "common practice"
        return self.name


@dataclass(frozen=True)
class Assumption:
    """A default that was used because the house file is silent: listed, never hidden.

    path: the house-file path, keys joined by " / " · value in SI (or a word) · unit: SI unit, "" for a word.
    """

    path: str
    value: float | str
    unit: str
    why: str
    source: Source


@cache
def table(name: str) -> dict[str, Any]:
    """A packaged table as a dict.

    Parameters
    ----------
    name : str
        path below the package without ending, for example ``parts/fittings`` or ``rules/tables/make_up_air`` [-]
    """
    return tomllib.loads(resources.files("airledger").joinpath(name + ".toml").read_text(encoding="utf-8"))
