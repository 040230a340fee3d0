"""Every figure of a reader's sheet is that of the JSON of the same run, or of the house file it was run on.

The text is taken out of the PDF again; the JSON is SI, so that every figure passes through a change of units
of its own.
"""

from __future__ import annotations

import json
import re

import pytest

from airledger.quantities import number
from airledger.report import in_units, json_text, sheets
from airledger.report.paper import drawn
from airledger.report.pressure_tape import pascals_text
from tests.entry.printed import EXAMPLES, STARTED, cells, example, texts

UNITS = {"ip": {"flow": "cfm", "force": "lbf"}, "si": {"flow": "L/s", "force": "N"}}
ALL = [*EXAMPLES, STARTED]


class Run:
    """One example in one system of units: its JSON, and any sheet's text."""

    def __init__(self, name, system, folder):
        self.system, self.folder = system, folder
        self.outcome = in_units(example(name), system)
        self.house = self.outcome.house
        self.json = json.loads(json_text(self.outcome, system))

    def paper(self, reader):
        if reader in sheets.READERS:
            return sheets.sheet_pdf(sheets.sheet_for(reader, self.outcome, self.system), self.outcome)
        return drawn(self.outcome, self.system).pdf(None, reader)

    def sheet(self, reader):
        """Line by line as printed."""
        return "\n".join(texts(self.paper(reader), self.folder))

    def words(self, reader):
        """Cell by cell, in one line."""
        return cells(self.paper(reader), self.folder)

    def table(self, study, name):
        return self.json["studies"].get(study, {}).get("tables", {}).get(name, [])

    def flow(self, value):
        return f"{number(value, 'air flow', self.system)} {UNITS[self.system]['flow']}"

    def pascals(self, low, high=None, digits=1):
        told = [
            number(end, "house pressure", self.system, digits) for end in sorted((low, low if high is None else high))
        ]
        return f"{told[0]} Pa" if told[0] == told[1] else f"{told[0]} to {told[1]} Pa"

    @property
    def option(self):
        first = next(iter(self.table("make_up_air", "options")), None)
        return None if first is None or first["holds"] == "does not hold" else first


@pytest.fixture(params=[(name, system) for name in ALL for system in ("ip", "si")], ids=str)
def run(request, tmp_path):
    return Run(*request.param, tmp_path)


def has(text, figure):
    """Whether a figure stands in a text as a whole one, not as a part of a longer one."""
    return re.search(rf"(?<![\d.,−]){re.escape(figure)}(?!\d|[.,]\d)", text) is not None


def line(text, *figures):
    return any(all(has(one, figure) for figure in figures) for one in text.splitlines())


def without_blanks(text):
    return "".join(text.split())


def test_the_framers_sizes_are_those_of_the_first_way_out_and_of_the_file(run):
    text = run.sheet("framer")
    if run.option is not None:
        for part in re.findall(r"\d+(?:\.\d+)? (?:in|mm)", f"{run.option['wall_space']} {run.option['cavity']}"):
            assert has(text, part), part
    else:
        assert "No hole for make-up air yet" in text
    for door in (o for o in run.house.openings if o.kind == "door" and "outdoors" not in o.between):
        gap = {0.01905: {"ip": "3/4 in", "si": "19 mm"}, 0.009525: {"ip": "3/8 in", "si": "10 mm"}}
        assert line(text, door.name, gap[round(door.undercut, 6)][run.system]), door.name


def test_what_every_grille_gets_is_its_share_of_the_speed(run):
    text, unit = run.sheet("hvac"), run.house.ventilator
    low, top = unit.speeds[0], unit.speeds[-1]
    for grille, shares, at_low, at_top in (
        ("supply", unit.supplies, low.supply, top.supply),
        ("pick-up", unit.takes_from, low.exhaust, top.exhaust),
    ):
        for room, share in shares:
            assert line(text, room, grille, run.flow(share * at_low), run.flow(share * at_top)), room
        assert line(text, "all together", grille, run.flow(at_low), run.flow(at_top))
    if run.option is not None:
        assert f"{run.flow(run.option['make_up_m3s'])} of outdoor air" in " ".join(text.split())


def test_the_electrician_wires_what_the_first_way_out_asks_for(run):
    text = run.words("electrician")
    if run.option is None:
        assert "nothing to interlock yet" in text
        assert "damper" not in text.replace("the damper's end switch", "")
    else:
        assert run.option["power"] in text
        assert re.search(r"range hood runs", text)
    for machine in run.house.exhausts:
        assert machine.name in text


def test_what_the_tester_expects_is_that_of_the_json(run):
    text = run.words("tester")
    for row in run.table("depressurization", "named"):
        assert has(text, run.pascals(row["low_pa"], row["high_pa"])), row["state"]
        assert has(text, f"{number(row['tolerated_pa'], 'house pressure', run.system, 0)} Pa tolerated")
    worst = next(row for row in run.table("depressurization", "worst") if row["target_kind"] == "house")
    assert has(text, run.pascals(worst["pressure_pa"], digits=0))
    fans = {(row["machine"], row["state"]): row for row in run.table("depressurization", "fans")}
    for row in fans.values():
        ends = sorted((row.get("low_m3s") or row["real_m3s"], row["real_m3s"]))
        low, high = (number(end, "air flow", run.system) for end in ends)
        unit = UNITS[run.system]["flow"]
        assert has(text, f"{high} {unit}" if low == high else f"{low} to {high} {unit}"), row["machine"]
    hardest = {}
    for row in run.table("door_force", "doors"):
        hardest[row["opening"]] = max(hardest.get(row["opening"], 0.0), row["force_n"])
    shown = {
        name: f"{number(force, 'force', run.system)} {UNITS[run.system]['force']}" for name, force in hardest.items()
    }
    told = [
        name for name, force in shown.items() if re.search(rf"{name}: .{{0,80}}(?<![\d.,]){re.escape(force)}", text)
    ]
    assert told
    assert len(told) == text.count("at the knob") - 1  # the heading says it too
    fourth = sorted(hardest.values())[-4]
    assert all(hardest[name] >= fourth - 1e-9 for name in told)
    for row in run.table("combustion_safety", "appliances"):
        if str(row.get("state", "")).startswith("worst"):
            assert has(text, run.pascals(row["change_pa"]))


def test_what_the_inspector_reads_as_required_and_designed_is_that_of_the_json(run):
    text = run.words("inspector")
    for row in run.table("ventilation_rate", "rules"):
        if row["holds"] == "here":
            assert has(text, run.flow(row["asks_m3s"])), row["rule"]
            assert has(text, run.flow(row["low_m3s"])), row["rule"]
    if run.house.site.place.endswith("Florida"):
        for row in run.table("local_exhaust", "rooms"):
            if row["verdict"] != "silent":
                for key in ("asks_on_demand_m3s", "asks_all_day_m3s", "own_m3s", "all_day_m3s", "boost_m3s"):
                    assert not row[key] or has(text, run.flow(row[key])), (row["room"], key)
    for row in run.table("make_up_air", "law"):
        if row["required_m3s"] and row["verdict"] not in ("silent", "beside that"):
            assert has(text, run.flow(row["required_m3s"])), row["rule"]


def test_what_was_measured_stands_on_the_inspectors_page_with_its_instrument(run):
    text = run.words("inspector")
    read = [row for row in run.table("start_up", "readings") if row["what"] in ("supply stream", "exhaust stream")]
    for row in read:
        assert f"measured {row['read']} {row['what'].split()[0]}, {row['instrument']}" in text
    if not read:
        assert "measured" not in text.replace("designed or measured", "").replace("not measured", "")


def test_a_grille_read_below_all_that_the_law_asks_is_open_whatever_was_designed(tmp_path):
    started = Run(STARTED, "ip", tmp_path)
    (bath,) = (row for row in started.table("local_exhaust", "rooms") if row["room"] == "hall bath")
    assert bath["verdict"] == "met all day"  # as designed
    text = started.words("inspector")
    assert "measured below what is asked" in text
    assert "local exhaust, hall bath" in text.split("What the law asks")[0]


def test_the_owners_pages_hold_no_figure_that_a_reader_would_have_to_convert(run):
    text = run.words("owner").replace(run.house.name, "")
    assert not re.search(r"\d[\d,.]* ?(?:cfm|L/s|Pa|lbf|N|ft|in|mm|W)\b", text)
    for room, _ in (*run.house.ventilator.supplies, *run.house.ventilator.takes_from):
        assert room in text


def test_the_builders_first_figures_are_those_of_the_json(run):
    text = run.words("builder")
    worst = next(row for row in run.table("depressurization", "worst") if row["target_kind"] == "house")
    assert has(text, f"{number(-worst['pressure_pa'], 'house pressure', run.system, 0)} Pa below outdoors")
    for row in run.table("depressurization", "named"):
        assert has(text, pascals_text(row["house_pressure_pa"]).split()[0]), row["state"]
    for row in run.table("make_up_air", "actions"):
        assert without_blanks(row["action"]) in without_blanks(text)


def test_the_annex_tells_every_path_of_every_named_state(run):
    text = run.sheet("annex")
    named = {state.name for state in run.house.states}
    told = [state for state in run.json["states"] if state["name"] in named]
    assert {state["name"] for state in told} == named
    for state in told:
        for flow in state["flows"]:
            assert line(
                text,
                number(flow["flow_m3s"], "air flow", run.system),
                number(flow["mass_flow_kgs"], "mass flow", run.system),
            ), (state["name"], flow["through"])
    assert has(text, f"{run.json['search']['solved']:,}")
    for source in {entry["source"] for entry in run.json["assumed"] if entry["source"]}:
        assert without_blanks(source) in without_blanks(text)
