"""Pages on what to do: the make-up options with their curve, the biggest hood, the worst states, the doors."""

from __future__ import annotations

from collections.abc import Sequence

from airledger.quantities import number, text
from airledger.report import option_curve, pages_beside
from airledger.report.blocks import Section, capital, sentence, table
from airledger.report.columns import cell_text
from airledger.report.facts import figure, gates, limit, rows, running, worst_of_house
from airledger.report.outcome import WHY_NONE_IS_WORSE, Outcome
from airledger.report.pressure_tape import pascals_text
from airledger.search.options import LEAST_HOOD
from airledger.studies.protocol import Row

BEST, MOST_OPTIONS, MOST_DOORS, MOST_AIR = 3, 10, 10, 5
AIR_KEYS = ("option", "heat_w", "water_kgs", "heat_per_flow_ws_m3", "water_per_flow_kg_m3", "grille_speed_ms")
BIGGEST_HOOD_WORDS = (
    "What the hood really moves when the first tolerated limit is met, at the tight end of the tightness, whatever "
    "its box says. Each opening has a motorized damper that opens with the machines, and they wait for it."
)


def options(outcome: Outcome, system: str) -> Section | None:
    """The make-up options, best first, with the curve of one opening.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    ranked = sorted(rows(outcome, "make_up_air", "options"), key=lambda row: figure(row["rank"]))
    if not ranked:
        return None
    advice = next(iter(rows(outcome, "make_up_air", "recommendation")), None)
    first, _, more = (str(advice["sentence"]) if advice else "What make-up air would do.").partition("; ")
    section = Section(sentence(first))
    section.words(sentence(more))
    if advice:
        section.words(sentence(str(advice.get("wait") or "")))
    _law(section, rows(outcome, "make_up_air", "law"))
    series = dict(outcome.results["make_up_air"].figures.get("pressure_by_size", {}))
    if len(series.get("likely", ())) > 1:
        section.heading("One opening with a motorized damper, machines as listed: how hard the house is still pulled")
        section.picture("curve.svg", option_curve.drawing(series, gates(outcome), _prices(ranked), system))
    _misses(section, outcome, system)
    shown = [_in_short(row) for row in _chosen(ranked)]
    which = "best first" if len(shown) == len(ranked) else "the best three, then the best of each other kind"
    widths = {"option": 2.75, "holds": 1.4, "tight_to_loose": 0, "hood_moves": 0}
    section.blocks.append(
        {
            **table([_option(row, system) for row in shown], OPTION_KEYS, system, widths, 8.2),
            "whole": True,
            "title": f"Ways to give the hood its air: {which}",
        }
    )
    if len(ranked) > len(shown):
        section.words(f"The other {len(ranked) - len(shown)} stand in make-up-air-options.csv.", True)
    section.blocks.append(
        {
            **table(shown[:MOST_AIR], AIR_KEYS, system, size=8.2),
            "whole": True,
            "title": "What comes in with the make-up air, in summer",
        }
    )
    pages_beside.start(section, outcome, system)
    pages_beside.tempered(section, outcome, system)
    if not outcome.house.prices:
        section.words("Prices come from the invented list that ships with the program: put in your own.", True)
    return section


def _law(section: Section, verdicts: Sequence[Row]) -> None:
    """What the code asks, a line a rule: the verdict, why, where it stands, and whether that was seen in print."""
    if not verdicts:
        return
    section.heading("What the code asks")
    for row in verdicts:
        hedge = "" if row["confirmed"] == "yes" else ", unconfirmed"
        place = ", ".join(str(row[key]) for key in ("section", "edition") if row[key])
        machine = f"{row['machine']}: " if row["machine"] else ""
        section.words(
            f"{machine}{row['verdict']}. {capital(str(row['text']))}: {row['formula']} ({place}{hedge}).", True
        )


OPTION_KEYS = (
    "option",
    "holds",
    "house_pressure_pa",
    "tight_to_loose",
    "hood_moves",
    "make_up_m3s",
    "make_up_share_ratio",
    "door_force_n",
    "price_usd",
)


def _chosen(ranked: list[Row]) -> list[Row]:
    """All where they fit; else the best three, the best of each further family, and doing nothing."""
    if len(ranked) <= MOST_OPTIONS:
        return ranked
    first: dict[str, Row] = {}
    for row in ranked:
        first.setdefault(str(row.get("family")), row)
    kept = [row for row in ranked if row in ranked[:BEST] or row is first[str(row.get("family"))]]
    nothing = first.get("none", kept[-1])
    return kept if len(kept) <= MOST_OPTIONS else [*kept[: MOST_OPTIONS - 1], nothing]


def _in_short(row: Row) -> Row:
    """A row under the option's short name, where it has one."""
    return {**row, "option": row.get("short") or row["option"]}


def _option(row: Row, system: str) -> Row:
    """A row as printed: the option with what it needs below it, ranges and shares in words."""
    needs = " · ".join(
        str(row[key]) for key in ("trades", "power", "wall_space", "cavity") if row.get(key) not in (None, "", "none")
    )
    shown: Row = dict(row)
    shown["below"] = needs
    shown["tight_to_loose"] = (
        f"{cell_text(row.get('low_pa'), 'low_pa', system)} to {cell_text(row.get('high_pa'), 'high_pa', system)}"
    )
    moved, rated = (cell_text(row.get(key), key, system) for key in ("hood_m3s", "hood_rated_m3s"))
    shown["hood_moves"] = f"{moved} of {rated}"
    shown["strong"] = int(row.get("rank") == 1)
    return shown


def _prices(ranked: list[Row]) -> dict[float, float]:
    """The price of each size of one passive opening, the best-ranked of each."""
    prices: dict[float, float] = {}
    for row in ranked:
        single = row.get("count") == 1 and str(row["option"]).startswith("one ")
        if single and row.get("diameter_m") and row.get("price_usd") is not None:
            prices.setdefault(figure(row["diameter_m"]), figure(row["price_usd"]))
    return prices


def _misses(section: Section, outcome: Outcome, system: str) -> None:
    missed = [_in_short(row) for row in rows(outcome, "make_up_air", "misses")[:4]]
    if missed:
        section.heading("Near misses")
        section.blocks.append(table(missed, ("option", "by_pa", "why"), system, {"option": 1, "why": 1.4}))


def biggest_hood(outcome: Outcome, system: str) -> Section | None:
    """The other way round: the biggest hood for each duct.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    ducts = rows(outcome, "biggest_hood", "ducts")
    if not ducts:
        return None
    told = [row for row in ducts if row.get("hood_m3s") is not None]
    most = max(told, key=lambda row: figure(row["hood_m3s"]), default=None)
    flow = text(figure(most["hood_m3s"]), "air flow", system) if most else ""
    sentence = "No duct that the wall can take carries a hood" + (f" worth having: at most {flow}." if flow else ".")
    if most is not None and figure(most["hood_m3s"]) >= LEAST_HOOD:
        opening = str(most["opening"])
        many = opening.startswith("two ")
        sentence = f"{capital(opening)} opening{'s carry' if many else ' carries'} a hood of up to {flow}."
    section = Section(sentence, own_page=False)
    keys = ("opening", "hood_m3s", "hood_with_dryer_m3s", "bound_by")
    section.blocks.append(table(ducts, keys, system))
    section.words(BIGGEST_HOOD_WORDS, True)
    section.whole = True
    return section


def worst(outcome: Outcome, system: str) -> Section | None:
    """The named states and the worst that was found for the house, each room, appliance and door.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    named, found = rows(outcome, "depressurization", "named"), rows(outcome, "depressurization", "worst")
    if not named and not found:
        return None
    section = Section("What each thing running does to the house.")
    house = worst_of_house(outcome)
    if house is not None:
        pull = pascals_text(figure(house["pressure_pa"]))
        section.sentence = sentence(f"The hardest pull found on the house is {pull} Pa: {running(house).split(';')[0]}")
        section.words(search_words(outcome), True)
        if outcome.search.proof == "proved":
            section.words(WHY_NONE_IS_WORSE, True)
    if named:
        section.heading("As you named them")
        limits = [
            f"{name} {number(value, 'house pressure', system)} Pa"
            for name in ("wanted", "tolerated")
            if (value := limit(named, f"{name}_pa")) is not None
        ]
        keys = ("state", "house_pressure_pa", "low_pa", "high_pa", "worst_room", "worst_room_pressure_pa", "verdict")
        section.blocks.append(table(named, keys, system, {"state": 1.5, "verdict": 1.2}))
        section.words("Limits of the house pressure: " + ", ".join(limits) + "." if limits else "", True)
    if found:
        section.heading("The worst for each, out of everything that can run together")
        keys = ("target", "state", "season", "ach50", "pressure_pa", "force_n", "hours_s")
        section.blocks.append(table(_told(found), keys, system, {"target": 1.1, "state": 4, "season": 0}, 8.0))
    pages_beside.wind(section, outcome, system)
    fans = rows(outcome, "depressurization", "fans")
    if fans:
        section.heading("What each fan really moves")
        section.blocks.append(table(fans, ("state", "machine", "rated_m3s", "real_m3s", "low_m3s", "known_by"), system))
    return section


def _told(found: tuple[Row, ...]) -> list[Row]:
    """Rows that say what is running, and below it how doors stand and what failed.

    A door is moved by the difference across it, which stands with the doors; the pull on the house would mislead here.
    """
    told: list[Row] = []
    for row in found:
        why = [part for part in str(row.get("why") or "").split("; ") if part and not _has_a_column(part, row)]
        first, *rest = [str(row["state"]), *why] if row.get("kind") == "fault" or not why else why
        shown = {**row, "state": f"{first}\n{'; '.join(rest)}".strip()}
        told.append({**shown, "pressure_pa": None} if row.get("target_kind") == "door" else shown)
    return told


def _has_a_column(part: str, row: Row) -> bool:
    return part.endswith("ACH50") or part == str(row.get("season"))


def search_words(outcome: Outcome) -> str:
    """How far the search went, in one sentence.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    search = outcome.search
    if search.proof == "all":
        return f"All {search.combinations:,} ways in which the house can run were solved."
    if search.proof == "proved":
        return (
            f"Proved: {search.solved:,} of {search.combinations:,} ways were solved; none of the others can be worse."
        )
    return f"Best found: {search.solved:,} of {search.combinations:,} ways in which the house can run were solved."


def _heavy(found: tuple[Row, ...]) -> list[Row]:
    """Each door where it is hardest to open, and every other one that takes a fifth of its limit; hardest first."""
    order = sorted(found, key=lambda row: (-abs(figure(row["force_n"])), str(row["opening"]), str(row["state"])))
    seen: set[str] = set()
    kept = []
    for row in order:
        name, share = str(row["opening"]), figure(row.get("tolerated_n") or 0.0) / 5
        if name not in seen or (share and abs(figure(row["force_n"])) >= share):
            kept.append(row)
        seen.add(name)
    return kept


def doors(outcome: Outcome, system: str) -> Section | None:
    """How hard each door is to open, and what cures it.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    found = rows(outcome, "door_force", "doors")
    if not found:
        return None
    hardest = max(found, key=lambda row: abs(figure(row["force_n"])))
    force = text(abs(figure(hardest["force_n"])), "force", system)
    does = hardest["direction"] if hardest["direction"] != "none" else "moved"
    when = "At worst" if str(hardest["state"]).startswith("worst") else f"{capital(str(hardest['state']))}:"
    section = Section(f"{when} the {hardest['opening']} is {does} with {force}.", own_page=False)
    shown = _heavy(found) if len(found) > MOST_DOORS else list(found)
    keys = ("opening", "state", "difference_pa", "force_n", "low_n", "high_n", "direction", "verdict")
    section.blocks.append(table(shown, keys, system, {"state": 1.5}, 8.0))
    if len(shown) < len(found):
        section.words(f"The other {len(found) - len(shown)} are lighter and stand in door-force-doors.csv.", True)
    cures = rows(outcome, "door_force", "cure")
    if cures:
        made = table(cures, ("opening", "state", "cure", "force_n"), system)
        section.blocks.append({**made, "whole": True, "title": "What would cure it"})
    section.words(
        "A door is a piston: opened quickly it makes 20 to 30 Pa for a moment with nothing running. That is no fault.",
        True,
    )
    return section
