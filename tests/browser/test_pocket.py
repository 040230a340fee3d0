"""The test plan on a phone without network: typed with the thumb, kept over a reload, given back as a file."""

import re
from importlib import resources

import pytest
from playwright.sync_api import expect

from airledger import runs
from airledger.io.readings_file import read_test_text
from airledger.io.start_up_file import read_start_up_text
from airledger.report.pocket import PRESSURES, pocket
from airledger.units import CFM


@pytest.fixture(scope="module")
def plan(tmp_path_factory):
    example = resources.files("airledger").joinpath("examples", "tern-street-14.yaml")
    with resources.as_file(example) as path:
        outcome = runs.study(runs.load(path))
    file = tmp_path_factory.mktemp("phone") / "plan.html"
    file.write_text(pocket(outcome, "ip"), encoding="utf-8")
    return file


@pytest.fixture
def phone(chromium, plan):
    context = chromium.new_context(
        viewport={"width": 360, "height": 740}, has_touch=True, offline=True, accept_downloads=True
    )
    page = context.new_page()
    wrong = []
    page.on("pageerror", lambda problem: wrong.append(str(problem)))
    page.goto(plan.as_uri())
    yield page
    assert wrong == []
    context.close()


def typed(phone, value):
    for key in value:
        phone.get_by_role("button", name={"-": "minus", ".": "point"}.get(key, key), exact=True).tap()
    phone.get_by_role("button", name="Keep, next reading").tap()


def saved(phone):
    phone.get_by_role("button", name="All so far").tap()
    with phone.expect_download() as told:
        phone.get_by_role("link", name="Save the readings as a file").tap()
    return told.value.path().read_text(encoding="utf-8")


def test_start_up_readings_are_kept_over_a_reload_and_given_back(phone):
    phone.get_by_role("button", name=re.compile("Start-up")).tap()
    for answer in ("yes", "no", "yes"):
        phone.get_by_role("button", name=answer, exact=True).tap()
    phone.get_by_label("read with").select_option("flow station")
    typed(phone, "71")
    typed(phone, "69.5")
    phone.reload()
    expect(phone.locator("#count")).to_have_text(re.compile("reading 6 of"))
    phone.get_by_role("button", name="One back").tap()
    expect(phone.locator(".shown")).to_contain_text("69.5")
    phone.get_by_role("button", name="Take back a key").tap()
    phone.get_by_role("button", name="Take back a key").tap()
    phone.get_by_role("button", name="Keep, next reading").tap()
    words = saved(phone)
    read = read_start_up_text(words, "start-up.csv")
    assert [(one.state, one.what, one.where) for one in read.readings] == [
        ("low", "look", "filters"), ("low", "look", "label on the control"), ("low", "look", "tape taken out"),
        ("low", "supply stream", "ERV"), ("low", "exhaust stream", "ERV"),
    ]  # fmt: skip
    assert "71 cfm,flow station" in words
    assert "69 cfm" in words


def test_a_blower_door_test_is_given_back_as_the_command_reads_it(phone):
    phone.get_by_role("button", name=re.compile("Blower door")).tap()
    for value in ("72", "61", "-1.2"):
        typed(phone, value)
    flows = [round(60 * (pressure - 1.2) ** 0.65 / 3) for pressure in PRESSURES]
    for pressure, flow in zip(PRESSURES, flows, strict=True):
        typed(phone, f"-{pressure}.3")
        typed(phone, str(flow))
    typed(phone, "-1.1")
    with phone.expect_download() as told:
        phone.get_by_role("link", name="Save the readings as a file").tap()
    test = read_test_text(told.value.path().read_text(encoding="utf-8"), "blower-door.csv").test
    assert test.pressures == pytest.approx([-pressure - 0.3 for pressure in PRESSURES])
    assert test.flows == pytest.approx([flow * CFM for flow in flows])


def test_every_screen_of_it_fits_a_phone_and_asks_for_nothing_from_elsewhere(phone, plan):
    assert not re.search(r'(?:src|href|url\()=?["\']?(?:https?:)?//', plan.read_text(encoding="utf-8"))
    phone.get_by_role("button", name=re.compile("Start-up")).tap()
    for _ in range(12):
        assert phone.evaluate("document.documentElement.scrollWidth <= innerWidth")
        phone.get_by_role("button", name="Skip it").tap()
    phone.get_by_role("button", name="All so far").tap()
    expect(phone.get_by_label("The readings as text")).to_be_visible()
