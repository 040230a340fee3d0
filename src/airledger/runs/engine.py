"""The engine of every entry point: which studies a house has data for, each computed once, then one sentence."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib import import_module, resources
from pathlib import Path
from typing import Any

import numpy as np

from airledger.errors import InputError
from airledger.findings import Finding, ordered
from airledger.house.house import House
from airledger.house.ledger import StateResult
from airledger.io import price_list
from airledger.io.build import BEFORE_ANY_TEST
from airledger.io.house_file import read
from airledger.io.safe_write import write_bytes
from airledger.rules.airtightness_together import why_unread
from airledger.rules.make_up_trigger import taken_as_new
from airledger.runs.aside import begun
from airledger.runs.outcome import Outcome, Search
from airledger.runs.references import Tests, references
from airledger.runs.work import Cancel, HouseWork, Progress
from airledger.search.hours import assumed_use
from airledger.search.slots import slots
from airledger.search.wind import assumed_wind
from airledger.search.worst import plain_state, state_names, worst_of
from airledger.sources import Assumption, Source
from airledger.studies.protocol import Result

STUDIES = (
    "air_balance", "depressurization", "combustion_safety", "door_force", "make_up_air", "biggest_hood",
    "ventilation_rate", "local_exhaust", "start_up", "airtightness",
)  # fmt: skip
"""Studies that a whole run consists of, in the order in which they are shown."""
TESTED, READINGS = "airtightness", "readings"
FIRST_EXAMPLE = "tern-street-14.yaml"
LONG, ASIDE = "make_up_air", ("depressurization", "biggest_hood")
"""A study that takes long, and those that may be done beside it: none takes another's results."""
ON_ITS_OWN = ("first_answer",)
"""Studies that run only when asked for by name."""

INVENTED_PRICES = Source("the invented price list that ships with airledger: replace it by yours", "practice")
BUILT_NEW = Source("a house in a file is one that is being built", "practice")


def load(path: str | Path) -> House:
    """The house of a file; a price list that it names is looked for beside it when it is studied."""
    return load_with_cautions(path)[0]


def load_with_cautions(path: str | Path) -> tuple[House, tuple[str, ...]]:
    """The house of a file, and what is foolish or not used yet in it, as lines to print."""
    loaded = read(path)
    return loaded.house, tuple(f"{path}:{caution.line}: {caution.text}" for caution in loaded.cautions)


def write_examples(folder: str | Path) -> list[Path]:
    """The example houses, their price list and readings, written to a folder; the houses' files, first one first.

    Raises
    ------
    InputError
        the folder cannot be made.
    """
    target = Path(folder)
    try:
        (target / READINGS).mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise InputError(f"{target}: no folder can be made there: {problem.strerror}") from None
    shipped = resources.files("airledger.examples")
    texts = {entry.name: entry.read_bytes() for entry in shipped.iterdir() if entry.name.endswith(".yaml")}
    houses = sorted(
        (name for name in texts if name != price_list.SHIPPED), key=lambda name: (name != FIRST_EXAMPLE, name)
    )
    texts |= {f"{READINGS}/{entry.name}": entry.read_bytes() for entry in shipped.joinpath(READINGS).iterdir()}
    for name, content in texts.items():
        write_bytes(target / name, content)
    return [target / name for name in houses]


def study(  # each is a choice of the caller's own  # noqa: PLR0913
    house: House,
    only: Sequence[str] = (),
    options: Mapping[str, Any] | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
    *,
    beside: str | Path | None = None,
    deepest: int = 0,
    aside: bool = False,
) -> Outcome:
    """Run the studies of a house.

    `only` names the studies wanted, all if empty; `options` holds a study's own by its name; `beside` is the folder of
    the house file, for the price list that it names; `deepest` is how many of the deepest states the outcome lists;
    `aside` lets a child process do what no other study waits for.

    Raises
    ------
    InputError
        the house has no data for any of the studies wanted.
    """
    wanted = _wanted(only)
    guessed, data = house, references(house, beside)
    house = _as_measured(house, data["tested"], str((options or {}).get(TESTED) or ""))
    work = HouseWork(house, data, progress, cancel)
    runnable, not_run = _with_data(house, wanted)
    if only and not runnable:
        lacking = "; ".join(f"{name} needs {needs}" for name, needs in not_run)
        raise InputError(f"the house has no data for what was asked: {lacking}")
    order = sorted(_in_order(runnable), key=TESTED.__eq__)  # last: it tells what the test changed of the others
    beside_it = _beside(order) if aside else ()
    if beside_it:
        work.survey()  # known before the child begins, so that it is worked out once
    others = begun(lambda: [_result(study, house, options, work) for study in beside_it]) if beside_it else list
    for name in order:
        if name in beside_it:
            continue
        work.say(name.replace("_", " "))
        work.check_cancelled()
        if name == TESTED:
            data["decisions"] = (_guessed_decision(guessed, house, work), work.results.get(LONG))
        work.results[name] = _result(name, house, options, work)
        if name == LONG:
            work.results.update(zip(beside_it, others(), strict=True))
    results = {name: work.results[name] for name in wanted if name in work.results}
    findings = _told_once(results)
    return Outcome(
        house=house,
        assumed=_assumed(house, work, results),
        states=_states(work),
        search=_search(work),
        results=results,
        not_run=not_run,
        findings=ordered(findings),
        deepest=_deepest(work, deepest),
        headline=headline(results),
    )


def _as_measured(house: House, tests: Tests, method: str) -> House:
    """The house with what its test measured; refused where neither a test nor a guess says how tight it is."""
    if not tests:
        return house
    measured: House = _module(TESTED).measured_house(house, tests, method)
    if measured is house and house.envelope.tightness == BEFORE_ANY_TEST:
        raise InputError(
            f"nothing can be read from the test: {why_unread(tests, method)}. Come back and read it again, or "
            "write a guess into the house file to go on with:  tightness: 0.6 to 1.8 ach50 (likely 1.1)"
        )
    return measured


def _guessed_decision(guessed: House, house: House, work: HouseWork) -> Result | None:
    """The make-up air with the tightness that was guessed before the test; None where nothing was, or none is asked."""
    if guessed is house or LONG not in work.results or guessed.envelope.tightness == BEFORE_ANY_TEST:
        return None
    return _result(LONG, guessed, None, HouseWork(guessed, {"prices": work.data("prices")}))


def _beside(order: Sequence[str]) -> tuple[str, ...]:
    """The studies that may be done beside the long one: nothing before its end waits for them."""
    if LONG not in order:
        return ()
    waited_for = {before for study in order[: order.index(LONG) + 1] for before in _module(study).after}
    return tuple(study for study in ASIDE if study in order and study not in waited_for)


def _told_once(results: Mapping[str, Result]) -> list[Finding]:
    """All findings; a pull at a flue that combustion safety tells in full is not told by house pressure as well."""
    fuller = results["combustion_safety"].findings if "combustion_safety" in results else ()
    told = {(finding.code, finding.where, finding.state) for finding in fuller}
    return [
        finding
        for study, result in results.items()
        for finding in result.findings
        if study != "depressurization" or (finding.code, finding.where, finding.state) not in told
    ]


def _result(name: str, house: House, options: Mapping[str, Any] | None, work: HouseWork) -> Result:
    found: Result = _module(name).run(house, (options or {}).get(name), work)
    return found


def _wanted(only: Sequence[str]) -> tuple[str, ...]:
    if not only:
        return STUDIES
    known = (*STUDIES, *ON_ITS_OWN)
    names = tuple(dict.fromkeys(name.replace("-", "_") for name in only))
    strange = [name for name in names if name not in known]
    if strange:
        raise InputError(f"no study is called {strange[0]!r}; there are: {', '.join(known)}")
    return names


def _module(name: str) -> Any:
    return import_module(f"airledger.studies.{name}")


def _with_data(house: House, wanted: Sequence[str]) -> tuple[tuple[str, ...], tuple[tuple[str, str], ...]]:
    runnable, not_run = [], []
    for name in wanted:
        lacking = [key for key in _module(name).needs if not has_data(house, key)]
        if lacking:
            not_run.append((name, ", ".join(lacking)))
        else:
            runnable.append(name)
    return tuple(runnable), tuple(not_run)


def has_data(house: House, key: str) -> bool:
    """Whether the house says anything under a key of its file; what needs no line in the file is always there."""
    given = {
        "openings": house.openings, "exhausts": house.exhausts, "ventilator": house.ventilator,
        "envelope / tested": house.envelope.tested, "start up": house.start_up,
    }  # fmt: skip
    return bool(given.get(key, True))


def _in_order(names: Sequence[str]) -> list[str]:
    """Studies with those whose results they take before them."""
    done: list[str] = []

    def add(name: str) -> None:
        for before in _module(name).after:
            add(before)
        if name not in done:
            done.append(name)

    for name in names:
        add(name)
    return done


def _assumed(house: House, work: HouseWork, results: Mapping[str, Result]) -> tuple[Assumption, ...]:
    found = [*work.model(house).assumed, *work.limits().assumed]
    if {"depressurization", "combustion_safety", "air_balance"} & set(results):
        found += assumed_use(house)
    if "depressurization" in results:
        found += assumed_wind(house)
    if {"make_up_air", "biggest_hood"} & set(results):
        found += slots(house).assumed
        if not house.prices:
            found.append(Assumption("prices", "invented", "", "the file names no price list", INVENTED_PRICES))
    if "make_up_air" in results and taken_as_new(house):
        found.append(Assumption("site / built", "new", "", "no year is told, and the law here turns on it", BUILT_NEW))
    return tuple({assumption.path: assumption for assumption in reversed(found)}.values())[::-1]


def _states(work: HouseWork) -> tuple[StateResult, ...]:
    """The named states at the likely tightness, then the worst ones found."""
    seen = work.named_at(None)
    states = [seen.state(i, s.name, s.kind, s.why) for i, s in enumerate(work.named())]
    found = work.survey()
    names = state_names(found, worst_of(found, work.limits()))
    numbers = np.array(list(names), dtype=np.intp)
    worst = work.solver(work.house)(found.listing.settings(numbers))
    for index, (number, name) in enumerate(names.items()):
        states.append(worst.state(index, name, "normal", found.listing.why(number)))
    return tuple(states)


def _search(work: HouseWork) -> Search:
    found = work.survey()
    return Search(found.listing.whole, found.solved, found.proof, found.worst_residual, found.open)


def _deepest(work: HouseWork, count: int) -> tuple[StateResult, ...]:
    if not count:
        return ()
    found = work.survey()
    return tuple(plain_state(found, int(at), f"deepest {rank}") for rank, at in enumerate(found.deepest(count), 1))


def headline(results: Mapping[str, Result]) -> str:
    """The one sentence: worst pressure, state and cause, and the best way out or that none holds."""
    told = []
    pulled = results.get("depressurization")
    if pulled is not None:
        row = next(row for row in pulled.tables["worst"] if row["target_kind"] == "house")
        finding = next(f for f in pulled.findings if f.code == "worst_pull")
        running = str(row["why"]).partition(";")[0]
        pressure = f"{abs(float(finding.value or 0.0)):.0f} Pa"
        way = "below" if (finding.value or 0.0) < 0 else "above"
        told.append(
            f"At worst ({running}; {float(str(row['ach50'])):.2g} ACH50) the house stands {pressure} {way} outdoors."
        )
        beyond = next((f for f in pulled.findings if f.code == "no_fan_could"), None)
        if beyond is not None:
            told.insert(0, f"With {beyond.state} no fan could hold its flow: the house would pass 1,000 Pa.")
            told[1] = told[1].replace("At worst", "Short of that, at worst", 1)
    make_up = results.get("make_up_air")
    if make_up is not None:
        told.append(str(make_up.tables["recommendation"][0]["sentence"]))
    if not told and results:
        first = next(iter(results.values()))
        beside = [finding for finding in ordered(first.findings) if finding.severity != "danger"]  # told above
        told = [finding.message for finding in beside[:1]]
    return " ".join(told)
