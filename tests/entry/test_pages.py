"""The pages as a browser asks for them: what they show, what they save, what they refuse."""

import io
import re
import threading
import zipfile

import pytest
from starlette.testclient import TestClient

from airledger.house_book import Reading, open_book
from airledger.house_book.checked import faults
from airledger.report.screens import screen
from airledger.web.app import application
from airledger.web.guard import HEADERS
from airledger.web.render import PAGES
from tests.books import HOUSE

HOME = "http://127.0.0.1:8735"
ENDS = (*(end for end, _ in PAGES), "worst", "punch-list", "file")


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    """Pages on a book with one small house, worked out once for the whole file."""
    book = open_book(str(tmp_path_factory.mktemp("pages") / "book.sqlite"))
    with TestClient(application(book, "Ana"), base_url=HOME, headers={"origin": HOME}) as asked:
        asked.book = book
        yield asked
    book.store.close()


@pytest.fixture
def house(client):
    """A new house of its own for each test; its address."""
    return f"/houses/{client.book.add({'heron.yaml': HOUSE.encode()}, 'heron.yaml', 'Ana').id}"


def worked_out(client, address, end=""):
    """A page when its study is there."""
    shown = client.get(f"{address}/{end}".rstrip("/"))
    for key in set(re.findall(r"/work/([0-9a-f]{64})/events", shown.text)):
        with client.stream("GET", f"/work/{key}/events") as told:
            assert "event: over" in "".join(told.iter_text())
    return client.get(f"{address}/{end}".rstrip("/"))


def head_of(client, address):
    return client.book.house(address.rpartition("/")[2]).revision.number


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


# -- what is wrong is said


def test_a_house_with_faults_says_them_and_how_to_mend_it(client):
    text = HOUSE.replace("600 cfm", "fast")
    house = f"/houses/{client.book.add({'x.yaml': text.encode()}, 'x.yaml', 'Ana').id}"
    for end in ("", "running", "make-up-air", "readings", "papers"):
        shown = client.get(f"{house}/{end}".rstrip("/"))
        assert shown.status_code == 200
        assert "fast" in shown.text
        assert f"{house}/file" in shown.text
    assert client.get(f"{house}/file").status_code == 200
    assert client.get(f"{house}/plan").status_code == 200
    assert client.get(f"{house}/papers/builder").status_code == 422


@pytest.mark.parametrize("end", [*ENDS, "parcel.zip", "papers/builder"])
def test_a_house_that_is_not_there_is_a_page_that_says_so(client, end):
    shown = client.get(f"/houses/{'0' * 32}/{end}".rstrip("/"))
    assert shown.status_code == 404
    assert "no house" in shown.text


def test_what_a_house_calls_itself_is_never_markup(client):
    evil = "<script>alert(1)</script><img src=x onerror=alert(2)>"
    text = HOUSE.replace("Heron Lane 3", evil).replace("range hood", "hood <b>'\"&")
    house = f"/houses/{client.book.add({'x.yaml': text.encode()}, 'x.yaml', evil).id}"
    for end in ENDS:
        shown = worked_out(client, house, end).text
        assert "<script>alert" not in shown
        assert "<img src=x" not in shown
        assert "hood <b>" not in shown
    assert "<script>alert" not in client.get("/").text
    assert "<script>alert" not in client.get("/", params={"words": evil}).text


# -- who may ask


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "10.0.0.5:8735", "", "localhost.evil"])
def test_a_strange_name_is_refused(client, host):
    assert client.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("host", ["127.0.0.1:8735", "localhost", "LOCALHOST:1", "[::1]:8735"])
def test_this_machine_is_answered(client, host):
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"}, {"origin": "null"}, {"origin": "http://127.0.0.1:9"},
        {"origin": HOME, "sec-fetch-site": "cross-site"}, {"origin": HOME, "sec-fetch-site": "same-site"},
    ],
)  # fmt: skip
def test_a_change_from_another_page_is_refused(client, house, headers):
    answer = client.post(f"{house}/copy", data={"name": "Stolen"}, headers=headers)
    assert answer.status_code == 403
    assert "Stolen" not in client.get("/").text


def test_a_change_that_does_not_say_where_it_comes_from_is_refused(client, house):
    bare = TestClient(client.app, base_url=HOME)
    assert bare.post(f"{house}/copy", data={"name": "Stolen"}).status_code == 403


@pytest.mark.parametrize("length", ["999999999", "-1", "many"])
def test_too_large_a_body_is_refused_before_it_is_read(client, length):
    answer = client.post("/houses", content=b"x", headers={"content-length": length})
    assert answer.status_code == 413


def bomb(files):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as parcel:
        for name, data in files:
            parcel.writestr(name, data)
    return out.getvalue()


@pytest.mark.parametrize(
    "data",
    [
        bomb([("house.yaml", HOUSE), ("zeros.bin", b"\0" * 150_000_000)]),
        bomb([("house.yaml", HOUSE), ("../../evil.sh", "x")]),
        bomb([("house.yaml", HOUSE), ("/etc/evil", "x")]),
        bomb([("house.yaml", HOUSE), *((f"f{n}", "x") for n in range(600))]),
        bomb([("a.yaml", HOUSE), ("b.yaml", HOUSE)]),
        bomb([("readme.txt", "no house")]),
        b"PK\x03\x04" + b"\0" * 100,
        b"",
    ],
    ids=["bomb", "up", "absolute", "many", "two", "none", "cut", "empty"],
)
def test_a_parcel_that_would_do_harm_is_refused(client, data):
    before = client.book.count()
    answer = client.post("/houses", files={"file": ("parcel.zip", data)})
    assert answer.status_code == 422
    assert client.book.count() == before


@pytest.mark.parametrize("name", ["../../../etc/passwd", "..%2f..%2fsetup.cfg", "pages.css.bak", "look.css/../x"])
def test_only_the_pages_own_files_are_handed_out(client, name):
    assert client.get(f"/static/0.1.0/{name}").status_code in (404, 200)
    assert "root:" not in client.get(f"/static/0.1.0/{name}").text


def test_readings_kept_from_a_phone_stand_in_the_book(client, house):
    client.book.take(Reading("p-9", house.rpartition("/")[2], "2027-01-05T10:00:00", "Cy", "grille", "{}"))
    assert client.get(f"{house}/readings").status_code == 200


def test_many_at_once_lose_nothing(client, house):
    """Thirty-two edits by eight people: each is saved, merged, or told."""
    answers = []

    def edit(person):
        for turn in range(4):
            base = head_of(client, house)
            name = f"fan {person}-{turn}"
            text = client.book.house(house.rpartition("/")[2], base).text
            added = text.replace("make-up air", f"  {name}: {{room: house, speeds: {{high: 50 cfm}}}}\nmake-up air")
            answers.append((name, client.post(f"{house}/file", data={"text": added, "base": str(base)}).status_code))

    people = [threading.Thread(target=edit, args=(person,)) for person in range(8)]
    for one in people:
        one.start()
    for one in people:
        one.join()
    held = client.book.house(house.rpartition("/")[2])
    assert {code for _, code in answers} <= {200, 409}
    assert all((name in held.text) == (code == 200) for name, code in answers)
    assert faults(client.book) == []
