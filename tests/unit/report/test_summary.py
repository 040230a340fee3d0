"""What a terminal shows: one screen, danger first, the plain words."""

from dataclasses import replace

from airledger.findings import Finding
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


def told(code: str, state: str, message: str, action: str) -> Finding:
    return Finding("airtightness", code, "ok", "standard", "envelope", state, message, action, "ours", False)


LONG = "The test reads 1.07 ACH50, and this sentence goes on so that it takes two lines of a screen, no more no less."
READ = told("tightness", "as lived in", LONG, "")
ROUGH = told("tightness", "rough-in", "The rough-in test reads 0.94 ACH50.", "")
CHANGED = told("decision", "", "The test changes the make-up air.", "while the wall is open: frame it")


def test_a_test_is_told_before_what_is_reckoned_with_it_and_the_last_one_first() -> None:
    alone = Outcome(HOUSE, findings=(CHANGED, ROUGH, READ))
    lines = screen(summary(alone), 24)
    assert " ".join(lines[:2]) == READ.message
    assert lines[2:4] == [ROUGH.message, CHANGED.message]
    assert "while the wall is open" not in summary(alone)  # the actions follow by themselves


def test_beside_a_whole_study_a_test_takes_a_line_and_leaves_the_punch_list() -> None:
    whole = replace(outcome(), findings=(CHANGED, ROUGH, READ, *findings()))
    lines = screen(summary(whole), 24)
    place = next(n for n, line in enumerate(lines) if line.startswith("The test reads 1.07 ACH50"))
    assert lines[place].endswith("…")
    assert lines[place + 1] == CHANGED.message
    assert not any(ROUGH.message in line for line in lines)
    assert any(line.startswith("Punch list: ") for line in lines)


def test_a_test_to_come_back_for_says_so_first() -> None:
    again = told("come_back", "", "Nothing can be read from the test.", "come back and read it again")
    assert summary(replace(outcome(), findings=(again,))).startswith(
        "Nothing can be read from the test. Come back and read it again."
    )


def test_words_that_belong_to_the_program_stay_off_the_screen() -> None:
    text = summary(outcome(True)).lower()
    assert not any(word in text for word in ("finding", "ledger", "operating state", "residual", "exponent"))
