"""The page on what burns inside: the pull at every flue, the air in an open one, the burners' air."""

from __future__ import annotations

from airledger.quantities import text
from airledger.report.blocks import Section, capital, table
from airledger.report.facts import CAUTIONS, figure, rows
from airledger.report.outcome import Outcome
from airledger.studies.protocol import Row

PULL_KEYS = (
    "appliance",
    "moment",
    "season",
    "change_pa",
    "deepest_change_pa",
    "limit_pa",
    "verdict",
    "absolute_pa",
    "fans_off_pa",
    "hours_s",
)
FLUE_KEYS = ("appliance", "moment", "season", "cold_draft_pa", "flow_m3s", "goes", "fans_off_goes")
ROOM_KEYS = ("rooms", "input_w", "volume_m3", "method", "asked_m3", "verdict")
OPENING_KEYS = ("way", "count", "each_free_m2")
THREE_FIGURES = (
    "Limits of flues are for the change that fans make: the moment, less the same doors and weather with every fan "
    "off. Absolute is the room against outdoors with stack in it; a flue shares that stack, and it is not judged."
)
SHUT = (
    "In the search for the worst moment a flue is shut, which makes the pull the deepest. Here it is open, its burner "
    "off, and full of the room's air; it counts as open during the blower-door test too."
)


def combustion(outcome: Outcome, system: str) -> Section | None:
    """What fans do at everything that burns inside, danger first.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    pulls = sorted(rows(outcome, "combustion_safety", "appliances"), key=_danger_first)
    spaces = rows(outcome, "combustion_safety", "burner_room")
    if not pulls and not spaces:
        return None
    section = Section(_sentence(pulls, system) if pulls else "Air for the burners.", own_page=False)
    for row in rows(outcome, "combustion_safety", "apart"):
        section.words(f"{capital(str(row['appliance']))}: {row['why']}.", True)
    if pulls:
        section.blocks.append(table(_moments(pulls), PULL_KEYS, system, {"moment": 2.4, "season": 0}, 7.8))
        section.words(THREE_FIGURES, True)
        for words in dict.fromkeys(f"{row['venting']}: {row['limit_source']}" for row in pulls):
            section.words(f"Limit, {words}.", True)
    flues = rows(outcome, "combustion_safety", "open_flue")
    if flues:
        section.heading("Which way air goes in an open flue")
        section.blocks.append(table(_moments(list(flues)), FLUE_KEYS, system, {"moment": 2.4, "season": 0}, 7.8))
        section.words(SHUT, True)
    _burners(section, outcome, spaces, system)
    for _, words in CAUTIONS[2:]:
        section.words(words, True)
    return section


def _danger_first(row: Row) -> tuple[bool, float]:
    return (row["verdict"] != "danger", figure(row["deepest_change_pa"]) / abs(figure(row["limit_pa"])))


def _sentence(pulls: list[Row], system: str) -> str:
    """The hardest pull against its limit, in a sentence."""
    first = pulls[0]
    both = (abs(figure(first[key])) for key in ("deepest_change_pa", "limit_pa"))
    pull, stands = (text(pascals, "house pressure", system) for pascals in both)
    if first["verdict"] == "danger":
        hedge = " (unconfirmed)" if first["limit_tag"] == "memory" else ""
        return f"DANGER: the fans pull {pull} at the {first['appliance']}, which can take {stands}{hedge}."
    return f"The hardest pull of the fans at a flue is {pull} at the {first['appliance']}, which can take {stands}."


def _moments(found: list[Row]) -> list[Row]:
    """Rows that say what is running where a moment was found, and its name where the file names it."""
    return [{**row, "moment": row["why"] if str(row["state"]).startswith("worst ") else row["state"]} for row in found]


def _burners(section: Section, outcome: Outcome, spaces: tuple[Row, ...], system: str) -> None:
    """Room volumes and openings by the fuel-gas code's methods."""
    if not spaces:
        return
    section.heading("Air for the burners, by the methods of the fuel-gas code")
    section.blocks.append(table(spaces, ROOM_KEYS, system, {"method": 0.8, "verdict": 1.6}, 7.8))
    openings = rows(outcome, "combustion_safety", "openings")
    if openings:
        section.blocks.append(table(openings, OPENING_KEYS, system, size=7.8))
    section.words("The gas official and a licensed installer decide.", True)
    for source in dict.fromkeys(str(row["source"]) for row in (*spaces, *openings)):
        section.words(source, True)
