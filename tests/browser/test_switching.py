"""What's running by mouse, keyboard and touch; search, units, readings and papers as a person meets them."""

import re
from importlib import resources

import pytest
from playwright.sync_api import expect

from tests.browser.browsing import PHONE, new_house, worked_out

READINGS = resources.files("airledger").joinpath("examples", "readings")
REFUSED = "Failed to load resource: the server responded with a status of 422"


def by_mouse(page):
    page.get_by_role("group", name="range hood").get_by_role("radio", name="high").click()


def by_keyboard(page):
    radio = page.get_by_role("group", name="range hood").get_by_role("radio", name="off")
    for _ in range(40):
        page.keyboard.press("Tab")
        if radio.evaluate("one => one === document.activeElement"):
            break
    page.keyboard.press("ArrowRight")


def by_touch(page):
    page.get_by_role("group", name="range hood").get_by_role("radio", name="high").tap()


@pytest.mark.parametrize(
    ("way", "context"),
    [(by_mouse, {}), (by_keyboard, {}), (by_touch, {"has_touch": True, "is_mobile": True, "viewport": PHONE})],
    ids=["mouse", "keyboard", "touch"],
)
def test_the_hood_switched_on_changes_the_sentence_the_tape_and_the_account(browse, house, way, context):
    page = browse(**context)
    page.goto(f"{house}/running")
    moment = page.locator("#moment")
    tape = moment.get_by_role("group").first
    before = tape.inner_html()
    expect(moment.get_by_role("heading").first).to_contain_text("nobody touches anything")
    way(page)
    expect(moment.get_by_role("heading").first).to_contain_text(re.compile(r"Range hood high.*Pa below outdoors"))
    expect(page.get_by_role("group", name="range hood").get_by_role("radio", name="high")).to_be_checked()
    assert tape.inner_html() != before
    expect(moment).to_contain_text("range hood")
    if context:
        expect(page.locator("#verdict")).to_be_in_viewport()
        expect(page.locator("#verdict")).to_contain_text("Pa below outdoors")


def test_a_wind_that_is_none_is_told_and_the_switches_stay(page, house):
    page.goto(f"{house}/running")
    by_mouse(page)
    page.get_by_label("Wind").fill("fast")
    page.keyboard.press("Tab")
    expect(page.locator("#moment .danger")).to_contain_text("wind")
    expect(page.get_by_role("group", name="range hood").get_by_role("radio", name="high")).to_be_checked()


def test_houses_are_found_by_name_as_it_is_typed(page, served):
    _, one = new_house(served[1])
    _, other = new_house(served[1])
    page.goto("/")
    houses = page.locator("#houses")
    expect(houses.get_by_role("link", name=re.compile(f"^{other}\\b"))).to_be_visible()
    page.get_by_label("Find a house").press_sequentially(one)
    expect(houses.get_by_role("link", name=re.compile(f"^{other}\\b"))).to_have_count(0)
    expect(houses.get_by_role("link", name=re.compile(f"^{one}\\b"))).to_be_visible()
    page.get_by_label("Find a house").fill("no such house")
    expect(houses).to_contain_text("No house has these words")


def test_a_house_that_waits_for_nothing_says_so_and_opens(page, served):
    address, name = new_house(served[1])
    page.goto("/")
    page.get_by_label("Find a house").fill(name)
    page.get_by_role("link", name=re.compile(f"^{name}\\b")).click()
    expect(page).to_have_url(re.compile(re.escape(address)))


def test_good_readings_join_the_house_and_are_told(page, house):
    page.goto(f"{house}/readings")
    page.get_by_role("radio", name="blower door").click()
    page.get_by_label("File").set_input_files(str(READINGS / "tern-14-rough-in.csv"))
    page.get_by_role("button", name="Take it in").click()
    expect(page.locator("main")).to_contain_text("ACH50")
    expect(page.locator("main")).to_contain_text("tern-14-rough-in.csv")


def test_damaged_readings_are_refused_with_what_is_wrong_and_nothing_is_kept(page, served, house):
    page.watch.expected = (REFUSED,)
    page.goto(f"{house}/readings")
    page.get_by_role("radio", name="blower door").click()
    page.get_by_label("File").set_input_files(str(READINGS / "signs-mixed.csv"))
    page.get_by_role("button", name="Take it in").click()
    expect(page.get_by_role("heading", name="That could not be done.")).to_be_visible()
    expect(page.locator("main")).to_contain_text("signs-mixed.csv")
    assert served[1].house(house.rpartition("/")[2]).revision.number == 1


def test_a_paper_opens_as_what_it_is(page, house):
    worked_out(page, f"{house}/papers")
    wanted = page.get_by_role("link", name=re.compile("Inspector"))
    assert wanted.count() > 1
    for link in wanted.all():
        paper = page.request.get(link.get_attribute("href"))
        assert paper.headers["content-type"] == "application/pdf"
        assert paper.body().startswith(b"%PDF")
    with page.expect_download() as taken:
        page.get_by_role("link", name="The house file with all its files").click()
    assert taken.value.suggested_filename.endswith(".zip")


def test_the_units_switch_changes_every_page_and_keeps_what_was_switched(page, house):
    for end in ("/running", "", "/make-up-air", "/rules"):
        worked_out(page, house + end)
        if end == "/running":
            page.get_by_role("group", name="range hood").get_by_role("radio", name="high").click()
        main = page.locator("main")
        expect(main).to_contain_text(re.compile(r"\bcfm\b"))
        page.get_by_role("button", name="L/s, m").click()
        expect(page.get_by_role("button", name="L/s, m")).to_have_attribute("aria-pressed", "true")
        assert page.url.partition("?")[0].endswith(house + end)
        expect(main).to_contain_text(re.compile(r"\bL/s\b"))
        expect(main).not_to_contain_text(re.compile(r"\bcfm\b"))
        page.get_by_role("button", name="cfm, ft").click()
        expect(page.get_by_role("button", name="cfm, ft")).to_have_attribute("aria-pressed", "true")
