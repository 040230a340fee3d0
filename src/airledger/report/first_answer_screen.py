"""The first answer on one screen: at most 40 lines of 100 characters, danger first, nothing cut off in silence."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence

from airledger.quantities import number, text
from airledger.report.in_units import in_units
from airledger.rules.make_up_trigger import BESIDE
from airledger.studies.protocol import Result, Row
from airledger.units import CFM

WIDE, TALL = 100, 40
MOST_PULLS, LEAST_PULLS = 8, 3
SURE = {"yes": "", "no": " (unconfirmed)"}


def first_answer_screen(result: Result, system: str = "ip") -> str:
    """The whole first answer as text.

    Parameters
    ----------
    result : Result
        of the study first_answer
    system : str
        ``ip`` or ``si``
    """
    tables = in_units(result.tables, system)
    rules, pulls = len(tables["law"]), MOST_PULLS
    blocks = _blocks(tables, system, rules, pulls)
    while sum(len(block) for block in blocks) > TALL and (rules > 1 or pulls > LEAST_PULLS):
        rules, pulls = (rules - 1, pulls) if rules > 1 else (rules, pulls - 1)
        blocks = _blocks(tables, system, rules, pulls)
    return "\n".join(_spaced(blocks)) + "\n"


def _blocks(tables: Mapping[str, Sequence[Row]], system: str, rules: int, pulls: int) -> list[list[str]]:
    """The parts of the screen, with so many of the code's rules and of the machines."""
    blocks = [
        [line for row in tables["answer"] for line in textwrap.wrap(str(row["line"]), WIDE, break_on_hyphens=False)],
        _pulls(tables["pulls"], system, pulls),
        _ways(tables["ways"]),
        _biggest(tables["biggest"], system),
        _law(tables["law"], rules),
        _items("Frame now", tables["frame_now"]) + _items("Can wait for the rough-in test", tables["can_wait"]),
    ]
    return [block for block in blocks if block]


def _spaced(blocks: Sequence[Sequence[str]]) -> list[str]:
    """The blocks with an empty line between them, as far as the screen allows."""
    spare = TALL - sum(len(block) for block in blocks)
    lines: list[str] = []
    for place, block in enumerate(blocks):
        if place and place <= spare:
            lines.append("")
        lines += block
    return lines


def _pascals(value: object) -> str:
    pascals = float(str(value))
    return number(pascals, "house pressure", "si", 0 if abs(pascals) >= 9.95 else 1)


def _pulls(rows: Sequence[Row], system: str, most: int) -> list[str]:
    """Each machine alone: pascals at the likely tightness, the range, the feel of it; of many, the hardest pulls."""
    if not rows:
        return []
    shown = [row for row in rows if row in sorted(rows, key=_pressure)[:most]]
    lines = ["What the house does, without make-up air (Pa; tight to loose)"]
    for row in shown:
        spread = f"{_pascals(row['low_pa'])} to {_pascals(row['high_pa'])}"
        lines.append(
            _short(f"  {row['what']!s:<22}{_pascals(row['house_pressure_pa']):>6}  {spread:>13}   {row['feels']}")
        )
    if len(rows) > len(shown):
        less = len(rows) - len(shown)
        lines[0] += f"; {less} that {'pulls less is' if less == 1 else 'pull less are'} under --json"
    return lines


def _pressure(row: Row) -> float:
    return float(str(row["house_pressure_pa"]))


def _ways(rows: Sequence[Row]) -> list[str]:
    """Each way on two lines: what it is with its pascals and price, then wall, trades and power."""
    lines = ["Ways out (worst pressure, price by the price list)"] if rows else []
    for place, row in enumerate(rows, 1):
        price = "no price" if row["price_usd"] is None else text(float(str(row["price_usd"])), "money", "ip")
        doubt = " DOES NOT HOLD" if row["holds"] == "does not hold" else ""
        wall = "" if row["wall_takes_it"] == "yes" else " (more than your wall takes)"
        end = f"{_pascals(row['low_pa']):>6} Pa {price:>8}"
        option = textwrap.wrap(
            f"{_capital(str(row['option']))}{wall}{doubt}", WIDE - 5 - len(end), break_on_hyphens=False
        )
        lines.append(f"  {place} {option[0]:<{WIDE - 5 - len(end)}} {end}")
        needs = " · ".join(
            str(row[key]) for key in ("wall_space", "trades", "power") if row[key] and row[key] != "none"
        )
        rest = " ".join(option[1:])
        lines += [f"    {line}" for line in textwrap.wrap(" · ".join(part for part in (rest, needs) if part), WIDE - 4)]
    return lines


def _biggest(rows: Sequence[Row], system: str) -> list[str]:
    """The biggest hood for each duct, in columns: alone, and with the dryer running where that differs."""
    if not rows:
        return []
    plain = {"no opening": "none", "one ": "", "two ": "2 x "}
    names = [str(row["opening"]) for row in rows]
    for words, short in plain.items():
        names = [name.replace(words, short) for name in names]
    cells = [("", names), ("hood alone", [_flow(row["hood_m3s"], system) for row in rows])]
    if any(row["hood_with_dryer_m3s"] != row["hood_m3s"] for row in rows):
        cells.append(("with the dryer", [_flow(row["hood_with_dryer_m3s"], system) for row in rows]))
    unit = "cfm" if system == "ip" else "L/s"
    lines = [f"Biggest hood for the duct ({unit})"]
    lines += [f"  {head:<15}" + "".join(f"{cell:>10}" for cell in row) for head, row in cells]
    return [_short(line) for line in lines]


def _flow(cell: object, system: str) -> str:
    """A flow that may not be promised larger than it is: down to the next 10 cfm or 5 L/s."""
    if cell is None:
        return "-"
    step = 10 * CFM if system == "ip" else 0.005
    return number(int(float(str(cell)) / step + 0.02) * step, "air flow", system)


def _law(rows: Sequence[Row], most: int) -> list[str]:
    """What each rule says: the weightiest first; verdict, formula with its numbers, section and edition."""
    shown = weightiest_first(rows)
    lines = [law_heading(rows)] if rows else []
    for row in shown[:most]:
        told = f"{row['verdict']}: {law_told(row)} ({law_place(row)}){SURE[str(row['confirmed'])]}"
        lines += textwrap.wrap(told, WIDE, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False)
    if len(shown) > most:
        lines.append(f"  {len(shown) - most} more, none that weighs more: see --json")
    return lines


def weightiest_first(rows: Sequence[Row]) -> list[Row]:
    """What the code says, what it asks for first.

    Parameters
    ----------
    rows : sequence of dict
        of the table "law"
    """
    order = ("yes", "ask the official", BESIDE, "silent", "no")
    return sorted(rows, key=lambda row: order.index(str(row["verdict"])))


def law_heading(rows: Sequence[Row]) -> str:
    """What heads the code's rules, with what was counted.

    Parameters
    ----------
    rows : sequence of dict
        of the table "law"
    """
    return "What the code asks" + next((f" ({row['counted']})" for row in rows if row.get("counted")), "")


def law_told(row: Row) -> str:
    """What one rule says, with its formula.

    Parameters
    ----------
    row : dict
        of the table "law"
    """
    if row["verdict"] == "no" and not row["ruling"]:
        return str(row["formula"])  # says it all
    if row["verdict"] == BESIDE:
        return f"{row['text']}: {row['formula']}"
    return f"{row['formula']}. {_capital(str(row['text']))}"


def law_place(row: Row) -> str:
    """Where one rule stands: section and edition.

    Parameters
    ----------
    row : dict
        of the table "law"
    """
    return ", ".join(str(row[key]) for key in ("section", "edition") if row[key])


def _items(head: str, rows: Sequence[Row]) -> list[str]:
    told = "; ".join(str(row["item"]) for row in rows)
    return textwrap.wrap(f"{head}: {told}.", WIDE, subsequent_indent="  ", break_on_hyphens=False) if rows else []


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _short(line: str) -> str:
    """A line within the screen's width; what does not fit ends in an ellipsis."""
    line = line.rstrip()
    return line if len(line) <= WIDE else line[: WIDE - 1] + "…"
