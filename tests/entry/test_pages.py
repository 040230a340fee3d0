"""The pages as a browser asks for them: what they show, what they save, what they refuse."""

import io
import re
import zipfile

import pytest
from starlette.testclient import TestClient

from airledger.house_book import open_book
from airledger.report.screens import screen
from airledger.web.app import application
from airledger.web.guard import HEADERS
from tests.books import HOUSE
from tests.entry.desk import ENDS, HOME, head_of, worked_out

# -- what is shown


def test_an_empty_book_offers_a_start_in_five_steps(tmp_path):
    book = open_book(str(tmp_path / "empty.sqlite"))
    with TestClient(application(book), base_url=HOME, headers={"origin": HOME}) as asked:
        first = asked.get("/").text
        assert first.count("<li>") >= 5
        assert "two invented houses" in first
        listed = asked.post("/examples").text
        assert "Tern Street 14" in listed
        assert "Alder Court 9" in listed
    book.store.close()


@pytest.mark.parametrize("end", ENDS)
def test_every_page_stands_and_says_what_it_may_do(client, house, end):
    shown = worked_out(client, house, end)
    assert shown.status_code == 200
    assert "Heron Lane 3" in shown.text or end == "file"
    assert "licensed people" in shown.text
    assert {name: shown.headers[name] for name in HEADERS} == HEADERS
    assert shown.headers["cache-control"] == "no-store"
    assert shown.text.count("<h1") == 1
    plain = re.sub(r"<textarea.*?</textarea>", "", shown.text, flags=re.DOTALL)
    assert not re.search(r"<script(?![^>]*\ssrc=)|\son[a-z]+=|\sstyle=|javascript:", plain), "no script or style within"
    assert not re.search(r'(?:src|href|action)="(?:https?:)?//', plain), "nothing from elsewhere"


def test_a_figure_on_a_page_is_that_of_the_paper(client, house):
    shown = worked_out(client, house, "make-up-air").text
    held = client.book.house(house.rpartition("/")[2])
    from airledger.runs.jobs import Jobs

    outcome = Jobs().wanted(held.files, held.file_name).wait()
    assert screen("make-up-air", outcome, "ip") in shown
    assert re.search(r"−\d", shown)


def test_the_units_switch_changes_every_page(client, house):
    hood = {"thing range hood": "high"}
    assert re.search(r"\d\scfm comes in", client.post(f"{house}/running", data=hood).text)
    client.post("/units", data={"system": "si", "back": house})
    try:
        assert re.search(r"\d\sL/s comes in", client.post(f"{house}/running", data=hood).text)
        assert "Btu/h" not in worked_out(client, house, "make-up-air").text
    finally:
        client.post("/units", data={"system": "ip", "back": "/"})


@pytest.mark.parametrize("back", ["//evil.example/x", "/\\evil.example", "https://evil.example", "x"])
def test_the_units_switch_leads_nowhere_else(client, back):
    answer = client.post("/units", data={"system": "ip", "back": back}, follow_redirects=False)
    assert answer.headers["location"] == "/"


def test_what_is_running_is_switched_and_told(client, house):
    off = client.get(f"{house}/running").text
    assert "as it stands" in off.lower()
    on = client.post(f"{house}/running", data={"thing range hood": "high", "thing dryer": "high"}).text
    pulled = float(re.search(r"stands ([\d.]+) Pa below outdoors", on).group(1))
    less = client.post(f"{house}/running", data={"thing dryer": "high"}).text
    assert pulled > float(re.search(r"stands ([\d.]+) Pa below outdoors", less).group(1)) > 0
    assert "held shut" in on
    assert "past the limit" in on
    again = client.get(f"{house}/running", params={"thing range hood": "high"}).text
    assert re.search(r'name="thing range hood" value="high" checked', again)


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        ({"thing range hood": "very high"}, "one of: off, high"),
        ({"thing organ": "on"}, "nothing in this house is called"),
        ({"thing wind": "fast"}, "wind"),
        ({"thing wind": "15 mph from nowhere"}, "wind from"),
    ],
)
def test_what_cannot_be_switched_is_told_with_what_is_allowed(client, house, sent, told):
    shown = client.post(f"{house}/running", data=sent)
    assert shown.status_code == 200
    assert told in shown.text.replace("&#39;", "'")


def test_wind_of_a_house_without_a_wind_block_is_told_or_reckoned(client, house):
    shown = client.post(f"{house}/running", data={"thing wind": "15 mph from west"}).text
    assert "box danger" in shown or "mph" in shown


# -- first answer


def test_the_answer_stands_beside_the_questions(client):
    missing = client.post("/first-answer", data={"floor area": "2480 ft2"}).text
    assert "What blows air out?" in missing
    typed = {
        "floor area": "2480 ft2", "exhausts": "hood 600 cfm; dryer vented", "appliances": "none",
        "tightness": "0.7 to 1.2",
    }  # fmt: skip
    answer = client.post("/first-answer", data=typed).text
    assert "Ways out" in answer
    assert "range hood 600 cfm" in answer
    wrong = client.post("/first-answer", data={**typed, "tightness": "quite"}).text
    assert "tight" in wrong
    assert "Ways out" not in wrong
    kept = client.post("/first-answer/house", data={**typed, "house": "Plover Way 5"}, follow_redirects=False)
    assert kept.status_code == 303
    assert "Plover Way 5" in client.get("/").text
    refused = client.post("/first-answer/house", data={"floor area": "2480 ft2"})
    assert refused.status_code == 422


# -- what is saved


def line(client, house, path, text, base=1, key=""):
    sent = {"path": path, "text": text, "base": str(base), "edit_key": key}
    return client.post(f"{house}/lines", data=sent)


HOOD = '["exhausts", "range hood"]'


def test_a_line_stands_without_brackets_and_gets_them_back(client, house):
    shown = client.get(f"{house}/plan").text
    assert ">room: house, speeds: {high: 600 cfm}</textarea>" in shown
    assert line(client, house, HOOD, "room: house, speeds: {high: 900 cfm}").status_code == 200
    assert client.book.house(house.rpartition("/")[2]).text == HOUSE.replace("600 cfm", "900 cfm")


def test_a_line_is_saved_as_a_revision(client, house):
    shown = line(client, house, HOOD, "{room: house, speeds: {high: 900 cfm}}")
    assert shown.status_code == 200
    assert "900 cfm" in shown.text
    held = client.book.house(house.rpartition("/")[2])
    assert held.text == HOUSE.replace("600 cfm", "900 cfm")
    assert (held.revision.number, held.revision.made_by) == (2, "Ana")
    assert "range hood" in held.revision.why


@pytest.mark.parametrize(
    ("path", "text", "told"),
    [
        (HOOD, "{room: cellar, speeds: {high: 900 cfm}}", "cellar"),
        (HOOD, "{room: house", "range hood"),
        ('["envelope", "tightness"]', "fast", "tightness"),
        ('["nothing", "here"]', "1", "nothing"),
        ("no json", "1", "cannot be read"),
        ("[]", "1", "cannot be read"),
        ('[{"a": 1}]', "1", "cannot be read"),
    ],
)
def test_a_line_that_makes_no_house_is_refused_and_nothing_is_saved(client, house, path, text, told):
    shown = line(client, house, path, text)
    assert shown.status_code == 422
    assert told in shown.text
    assert head_of(client, house) == 1


def test_two_people_on_two_lines_keep_both_and_on_one_line_are_told(client, house):
    assert line(client, house, HOOD, "{room: house, speeds: {high: 900 cfm}}").status_code == 200
    assert line(client, house, '["exhausts", "dryer"]', "{room: house, speeds: {high: 150 cfm}}").status_code == 200
    text = client.book.house(house.rpartition("/")[2]).text
    assert "900 cfm" in text
    assert "150 cfm" in text
    clash = line(client, house, HOOD, "{room: house, speeds: {high: 400 cfm}}")
    assert clash.status_code == 409
    assert "900 cfm" in clash.text
    assert "400 cfm" in clash.text
    assert head_of(client, house) == 3


def test_an_edit_sent_twice_is_saved_once(client, house):
    for _ in range(2):
        assert line(client, house, HOOD, "{room: house, speeds: {high: 900 cfm}}", 1, "k" * 32).status_code == 200
    assert head_of(client, house) == 2


def test_the_whole_file_is_saved_or_given_back_with_each_fault(client, house):
    wrong = HOUSE.replace("2500 ft2", "2500 apples").replace("600 cfm", "fast")
    shown = client.post(f"{house}/file", data={"text": wrong, "base": "1"})
    assert shown.status_code == 422
    assert "5:" in shown.text
    assert "2500 apples" in shown.text
    assert head_of(client, house) == 1
    typed = HOUSE.replace("600 cfm", "900 cfm").replace("\n", "\r\n")
    assert client.post(f"{house}/file", data={"text": typed, "base": "1", "why": "as framed"}).status_code == 200
    held = client.book.house(house.rpartition("/")[2])
    assert held.text == HOUSE.replace("600 cfm", "900 cfm")
    assert held.revision.why == "as framed"


def test_history_shows_what_changed_and_brings_it_back(client, house):
    line(client, house, HOOD, "{room: house, speeds: {high: 900 cfm}}")
    shown = client.get(f"{house}/history", params={"number": 2}).text
    assert re.search(r"<del>-.*600 cfm", shown)
    assert re.search(r"<ins>\+.*900 cfm", shown)
    client.post(f"{house}/history/1/restore")
    held = client.book.house(house.rpartition("/")[2])
    assert held.text == HOUSE
    assert held.revision.number == 3
    assert client.get(f"{house}/history", params={"number": 99}).status_code == 404


def test_a_copy_to_a_new_lot_is_a_house_of_its_own(client, house):
    answer = client.post(f"{house}/copy", data={"name": "Heron Lane 5"}, follow_redirects=False)
    copied = client.book.house(answer.headers["location"].rpartition("/")[2])
    assert copied.text == HOUSE.replace("Heron Lane 3", "Heron Lane 5")
    assert client.post(f"{house}/copy", data={"name": "a/b"}).status_code == 422


def test_a_house_goes_in_and_comes_out_bit_for_bit(client):
    answer = client.post("/houses", files={"file": ("egret.yaml", HOUSE.encode())}, follow_redirects=False)
    parcel = client.get(answer.headers["location"] + "/parcel.zip").content
    with zipfile.ZipFile(io.BytesIO(parcel)) as opened:
        assert {name: opened.read(name) for name in opened.namelist()} == {"egret.yaml": HOUSE.encode()}
    again = client.post("/houses", files={"file": ("egret.zip", parcel)}, follow_redirects=False)
    assert client.get(again.headers["location"] + "/parcel.zip").content == parcel


GOOD = "".join(
    (
        "# direction: depressurization\n# indoor temperature: 70 F\n# outdoor temperature: 70 F\n",
        "# baseline before: 0 Pa\n# baseline after: 0 Pa\n",
        "pressure [Pa],flow [cfm]\n",
        *(f"-{p},{30 * p**0.65:.1f}\n" for p in (20, 25, 30, 35, 40, 45, 50, 55)),
    )
)


def test_readings_join_the_house_and_are_told(client, house):
    sent = {"data": {"kind": "blower door", "base": "1"}, "files": {"file": ("door test.csv", GOOD.encode())}}
    assert client.post(f"{house}/readings", **sent).status_code == 200
    held = client.book.house(house.rpartition("/")[2])
    assert held.files["readings/door-test.csv"] == GOOD.encode()
    assert "readings/door-test.csv" in held.text
    shown = worked_out(client, house, "readings")
    assert "ACH50" in shown.text


@pytest.mark.parametrize(
    ("kind", "name", "data"),
    [
        ("blower door", "bad.csv", b"pressure,flow\n1,2\n"),
        ("blower door", "bad.xlsx", b"PK\x03\x04 no workbook"),
        ("start-up", "bad.csv", b"\xff\xfe\x00\x01"),
        ("start-up", "../../out.csv", b"what,where\n"),
        ("something", "good.csv", GOOD.encode()),
        ("blower door", "big.csv", b"x" * 2_000_001),
    ],
)
def test_readings_that_cannot_be_read_leave_nothing(client, house, kind, name, data):
    sent = {"data": {"kind": kind, "base": "1"}, "files": {"file": (name, data)}}
    shown = client.post(f"{house}/readings", **sent)
    assert shown.status_code == 422
    assert "/tmp" not in shown.text
    assert head_of(client, house) == 1


def test_each_paper_can_be_had(client, house):
    listed = worked_out(client, house, "papers").text
    papers = set(re.findall(rf"{house}/papers/[\w.]+(?:\?paper=\w+)?", listed))
    assert len(papers) > 8
    pdf = client.get(f"{house}/papers/inspector?paper=a4")
    assert pdf.content.startswith(b"%PDF")
    assert pdf.headers["content-type"] == "application/pdf"
    book = client.get(f"{house}/papers/tables")
    assert book.content.startswith(b"PK")
    assert "attachment" in book.headers["content-disposition"]
    assert "<html" in client.get(f"{house}/papers/copy.html").text
    assert client.get(f"{house}/papers/nonsense").status_code == 404
    assert client.get(f"{house}/papers/inspector?paper=a3").status_code == 404
