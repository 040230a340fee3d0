"""What the pages refuse: strangers, other origins, harmful files, markup in names; what is wrong is said."""

import io
import threading
import zipfile

import pytest
from starlette.testclient import TestClient

from airledger.house_book import Reading
from airledger.house_book.checked import faults
from tests.books import HOUSE
from tests.entry.desk import ENDS, HOME, head_of, worked_out

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
