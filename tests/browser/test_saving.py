"""What is typed lands in the book, what makes no house is refused and stays, and nothing is lost with the server."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.browsing import new_house, serving

HOOD = "room: house, speeds: {high: 900 cfm}"
REFUSED = "Failed to load resource: the server responded with a status of 422"
AWAY = ("Failed to load resource: net::ERR_", "htmx: htmx:error: Failed to fetch")


def hood_line(page, address):
    page.goto(f"{address}/plan")
    return page.get_by_label("range hood", exact=True)


def typed(line, text):
    """Types a line anew and leaves it."""
    line.fill(text)
    line.press("Tab")


def told_beside(line):
    return line.locator("xpath=ancestor::form").get_by_role("status")


def text_of(served, address):
    return served[1].house(address.rpartition("/")[2]).text


def test_ten_questions_are_answered_beside_and_become_a_house(page, served):
    page.goto("/")
    page.get_by_role("link", name="Ten questions").or_(
        page.get_by_role("link", name="ten plain questions")
    ).first.click()
    answer = page.locator("#answer")
    page.get_by_label("What to call the house").fill("Plover Way 5")
    page.get_by_label("Floor area").fill("2480 ft2")
    expect(answer).not_to_contain_text("Floor area")
    expect(answer).to_contain_text("as soon as these are told")
    for label, words in {
        "How tight": "0.7 to 1.2", "What blows air out": "hood 600 cfm; dryer vented", "What burns": "none",
        "Where is it": "Homestead, Florida",
    }.items():  # fmt: skip
        page.get_by_label(label).fill(words)
    expect(answer.get_by_role("heading", name="Ways out")).to_be_visible()
    expect(answer).to_contain_text("range hood 600 cfm")
    page.get_by_role("button", name="Go on with this house").click()
    page.wait_for_url(re.compile("/houses/[0-9a-f]{32}$"))
    (listed,) = [one for one in served[1].houses("Plover") if one.name == "Plover Way 5"]
    assert page.url.endswith(listed.id)
    assert "600 cfm" in served[1].house(listed.id).text


def test_a_changed_line_is_saved_shown_and_brought_back(page, served, house):
    before = text_of(served, house)
    line = hood_line(page, house)
    typed(line, HOOD)
    expect(told_beside(line)).to_have_text("Saved.")
    assert text_of(served, house) == before.replace("600 cfm", "900 cfm")
    page.reload()
    expect(line).to_have_value(HOOD)
    page.get_by_role("link", name="History").click()
    page.get_by_role("link", name="What changed in revision 2").click()
    differs = page.get_by_role("region", name="What differs")
    expect(differs.locator("del")).to_contain_text("600 cfm")
    expect(differs.locator("ins")).to_contain_text("900 cfm")
    page.get_by_role("button", name="Back to this one revision 1").click()
    expect(page.get_by_role("link", name="What changed in revision 3")).to_be_visible()
    assert text_of(served, house) == before


def test_a_line_that_makes_no_house_is_refused_and_what_was_typed_stays(page, served, house):
    page.watch.expected = (REFUSED,)
    before, wrong = text_of(served, house), "{room: cellar, speeds: {high: 900 cfm}}"
    line = hood_line(page, house)
    typed(line, wrong)
    expect(told_beside(line)).to_contain_text("cellar")
    expect(told_beside(line)).to_contain_text("house")
    expect(line).to_have_value(wrong)
    assert text_of(served, house) == before
    dryer = page.get_by_label("dryer", exact=True)
    typed(dryer, "{room: house, speeds: {high: 150 cfm}}")
    expect(told_beside(dryer)).to_have_text("Saved.")
    expect(line).to_have_value(wrong)
    expect(told_beside(line)).to_contain_text("cellar")
    typed(line, HOOD)
    expect(told_beside(line)).to_have_text("Saved.")
    assert "900 cfm" in text_of(served, house)
    assert "150 cfm" in text_of(served, house)


def test_an_answer_that_comes_while_the_next_line_is_typed_takes_neither_words_nor_place(page, served, house):
    line = hood_line(page, house)
    page.locator("summary", has_text="Site").click()
    line.fill(HOOD)
    line.press("Tab")
    dryer = page.get_by_label("dryer", exact=True)
    expect(dryer).to_be_focused()
    dryer.press_sequentially(" ")
    dryer.press("End")
    expect(told_beside(line)).to_have_text("Saved.")
    expect(dryer).to_be_focused()
    expect(page.get_by_label("site", exact=True)).to_be_visible()
    assert "900 cfm" in text_of(served, house)


@pytest.mark.parametrize("how", ["terminate", "kill"])
def test_an_edit_made_while_the_server_is_away_is_sent_once_when_it_is_back(browse, tmp_path, how):
    with serving(tmp_path) as (served, book):
        address, _ = new_house(book)
        page = browse(served.address)
        page.watch.expected = AWAY
        line = hood_line(page, address)
        served.end(how)
        typed(line, HOOD)
        banner = page.get_by_role("alert")
        expect(banner).to_contain_text("kept in this browser")
        expect(line).to_have_value(HOOD)
        page.wait_for_timeout(3500)  # one turn in vain
        served.start()
        expect(banner).to_contain_text("is saved now")
        page.goto(f"{address}/history")
        expect(page.get_by_role("link", name="What changed in revision 2")).to_be_visible()
        expect(page.get_by_role("link", name="What changed in revision")).to_have_count(1)
        assert "900 cfm" in book.house(address.rpartition("/")[2]).text


def test_an_edit_whose_answer_was_lost_stands_in_the_book_once(page, served, house):
    page.watch.expected = AWAY

    def lost(route):
        route.fetch()
        route.abort()

    page.route("**/lines", lost, times=1)
    typed(hood_line(page, house), HOOD)
    expect(page.get_by_role("alert")).to_contain_text("is saved now")
    assert served[1].house(house.rpartition("/")[2]).revision.number == 2
