"""What a terminal shows: one screen, danger first, the plain words."""

from dataclasses import replace

from airledger.report.outcome import Outcome
from airledger.report.summary import summary
from airledger.studies.protocol import Result
from tests.unit.report.sample import HOUSE, findings, outcome, state


def screen(text: str, tall: int) -> list[str]:
    lines = text.splitlines()
    assert len(lines) <= tall
    assert max(len(line) for line in lines) <= 100
    return lines


def test_the_whole_run_fits_one_screen_and_begins_with_the_sentence() -> None:
    lines = screen(summary(outcome()), 24)
    assert " ".join(lines[:2]) == outcome().headline


def test_danger_stands_first() -> None:
    assert summary(outcome(danger=True)).startswith("DANGER: The hood pulls the water heater's flue backwards.")


def test_many_states_and_punch_items_still_fit_and_the_hardest_pulls_stay() -> None:
    states = tuple(state(f"a state with quite a long name, number {n}", -float(n), 0.0) for n in range(40))
    named = tuple(
        {"state": s.name, "house_pressure_pa": s.house_pressure, "wanted_pa": -10.0, "tolerated_pa": -20.0}
        for s in states
    )
    results = {**outcome().results, "depressurization": Result(tables={"named": named})}
    crowded = replace(outcome(True), states=states, results=results, findings=findings() * 20)
    lines = screen(summary(crowded), 24)
    assert any("number 39" in line and "−39 Pa" in line and "past a limit" in line for line in lines)
    assert not any("number 12 " in line for line in lines)


def test_where_no_option_holds_the_nearest_miss_is_named() -> None:
    advice = {"verdict": "none holds", "option": "", "sentence": "No make-up air holds this house.", "wait": ""}
    tables = {**outcome().results["make_up_air"].tables, "recommendation": (advice,)}
    text = summary(replace(outcome(), results={**outcome().results, "make_up_air": Result(tables=tables)}))
    assert "No make-up air holds this house." in text
    assert "nearest miss: one 10 in opening, motorized damper, by 4.6 Pa" in text


def test_an_outcome_with_nothing_but_a_state_is_told_too() -> None:
    text = summary(Outcome(HOUSE, states=(state("everyday", -0.3, 0.0),)))
    assert "everyday" in text
    assert "−0.3 Pa" in text


def test_words_that_belong_to_the_program_stay_off_the_screen() -> None:
    text = summary(outcome(True)).lower()
    assert not any(word in text for word in ("finding", "ledger", "operating state", "residual", "exponent"))
