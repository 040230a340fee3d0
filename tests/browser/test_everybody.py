"""Every page for everybody: WCAG 2.2 AA by axe-core, light and dark, desk and phone; by keyboard; nothing jumps."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.browsing import DESK, PHONE, new_house, serving, worked_out

AXE = (Path(__file__).parent / "axe.min.js").read_text(encoding="utf-8")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
ENDS = (
    "", "/plan", "/running", "/running?thing+range+hood=high", "/make-up-air", "/worst", "/punch-list", "/rules",
    "/readings", "/papers", "/history?number=2", "/file",
)  # fmt: skip
REFUSED = "Failed to load resource: the server responded with a status of 4"


@pytest.fixture(scope="module")
def drawn(served):
    """A house with a drawn room, two revisions, and a flue: every part of a page has something to show."""
    from airledger.house_book import Change

    address, _ = new_house(
        served[1], ("area: 2500 ft2", "size: 50 ft x 50 ft, corner: [0 ft, 0 ft]"), ("exponent: 0.65", "exponent: 0.64")
    )
    held = served[1].house(address.rpartition("/")[2])
    changed = held.text.replace("exponent: 0.64", "exponent: 0.65").encode()
    served[1].save(held.listed.id, Change({held.file_name: changed}, 1, "Ana", "measured"))
    return address


def broken(page, **options):
    """What axe-core complains about: rule and the places."""
    if not page.evaluate("typeof axe === 'object'"):
        page.evaluate(AXE)
    found = page.evaluate("options => axe.run(document, options)", options or {"runOnly": TAGS})
    return [
        (one["id"], [node["target"][0] for node in one["nodes"]][:5], one["nodes"][0]["failureSummary"][:300])
        for one in found["violations"]
    ]


def complaints(page):
    """What is wrong with a page as it stands, in light and dark."""
    said = broken(page)
    page.emulate_media(color_scheme="dark")
    said += [("dark", *one) for one in broken(page, runOnly={"type": "rule", "values": ["color-contrast"]})]
    page.emulate_media(color_scheme="light")
    wide = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    if wide[0] > wide[1]:
        said.append(("wider than the screen", wide))
    jumped = page.evaluate("window.shifted")
    if jumped >= 0.1:
        said.append(("jumps", jumped))
    return said


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_every_page_of_a_house_is_for_everybody(browse, drawn, size):
    page = browse(viewport=size)
    said = {}
    for end in ENDS:
        worked_out(page, drawn + end)
        said[end] = complaints(page)
    assert {end: words for end, words in said.items() if words} == {}


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_the_pages_around_a_house_are_for_everybody(browse, served, drawn, size):
    page = browse(viewport=size)
    page.watch.expected = (REFUSED,)
    said = {}
    for address in ("/", "/?words=nothing", "/first-answer", "/houses/none"):
        page.goto(address)
        said[address] = complaints(page)
    page.goto("/first-answer")
    for label, words in {
        "Floor area": "2480 ft2",
        "How tight": "0.7 to 1.2",
        "What blows air out": "hood 600 cfm",
    }.items():
        page.get_by_label(label).fill(words)
    page.get_by_label("What burns").fill("none")
    page.get_by_label("Where is it").fill("Homestead, Florida")
    expect(page.locator("#answer").get_by_role("heading", name="Ways out")).to_be_visible()
    said["answered"] = complaints(page)
    broken_house, _ = new_house(served[1], ("600 cfm", "fast"))
    page.goto(broken_house)
    said["faults"] = complaints(page)
    page.goto(f"{drawn}/plan")
    page.get_by_label("dryer", exact=True).fill("{room: cellar}")
    page.keyboard.press("Tab")
    expect(page.locator(".told .box")).to_be_visible()
    said["refused line"] = complaints(page)
    assert {end: words for end, words in said.items() if words} == {}


def test_an_empty_book_is_for_everybody(browse, tmp_path):
    with serving(tmp_path) as (served, _):
        page = browse(served.address, viewport=PHONE)
        page.goto("/")
        expect(page.get_by_role("heading", level=1)).to_contain_text("Where does the air")
        assert complaints(page) == []


SEEN = """
() => {
  const one = document.activeElement;
  const shown = one.matches("input[type=radio]") && one.closest(".switch") ? one.nextElementSibling : one;
  const style = getComputedStyle(shown), box = shown.getBoundingClientRect();
  const inset = (length) => Math.min(length, 20) / 2;
  const where = document.elementFromPoint(box.left + inset(box.width), box.top + inset(box.height));
  return {
    name: one.tagName + " " + (one.textContent.trim() || one.name || one.id).slice(0, 40),
    end: one === document.body,
    outlined: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
    inside: box.bottom > 0 && box.top < innerHeight,
    covered: Boolean(where && !shown.contains(where) && !where.contains(shown) && !where.closest("label, header")),
  };
}
"""


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_the_whole_path_goes_by_keyboard_with_focus_in_sight(browse, drawn, size):
    page = browse(viewport=size)
    for end in ("/running", "/plan", "/readings", "/papers"):
        worked_out(page, drawn + end)
        stops = []
        for _ in range(80):
            page.keyboard.press("Tab")
            stop = page.evaluate(SEEN)
            if stop["end"]:
                break
            stops.append(stop)
        assert len(stops) > 12, end
        bad = [one for one in stops if not one["outlined"] or not one["inside"] or one["covered"]]
        assert bad == [], end


def test_the_first_stop_of_the_keyboard_leads_past_the_menus(page, drawn):
    page.goto(f"{drawn}/plan")
    page.keyboard.press("Tab")
    skip = page.get_by_role("link", name="To the page")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()
