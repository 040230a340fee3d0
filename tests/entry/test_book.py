"""The house book's command: what goes in comes out, a folder and the book stay in step."""

import zipfile

import pytest
from click.testing import CliRunner

from airledger.cli.main import main
from airledger.house_book import open_book
from tests.books import HOUSE

READINGS = b"# direction: depressurization\r\npressure [Pa],flow [cfm]\r\n-50,400\r\n"


@pytest.fixture
def called(tmp_path):
    def call(*arguments, code=0, book=None):
        command = ["book", "--book", str(book or tmp_path / "book.sqlite"), "--by", "Ana", *map(str, arguments)]
        done = CliRunner().invoke(main, command)
        assert "Traceback" not in done.output + done.stderr
        assert done.exit_code == code, done.output + done.stderr
        return done.output + done.stderr

    return call


@pytest.fixture
def folder(tmp_path):
    place = tmp_path / "houses"
    (place / "readings").mkdir(parents=True)
    (place / "readings" / "door.csv").write_bytes(READINGS)
    tested = HOUSE.replace("tightness: 1.0 ach50", "tightness: 1.0 ach50, tested: {for the code: readings/door.csv}")
    (place / "heron.yaml").write_text(tested)
    (place / "prices.txt").write_text("no house")
    return place


def test_a_house_goes_in_with_all_it_refers_to_and_comes_out_bit_for_bit(called, folder, tmp_path):
    assert "Heron Lane 3: taken in" in called("import", folder / "heron.yaml")
    shown = called("list")
    assert "Heron Lane 3" in shown
    assert "Homestead, Florida" in shown
    called("export", "Heron Lane 3", tmp_path / "heron.zip")
    with zipfile.ZipFile(tmp_path / "heron.zip") as parcel:
        assert parcel.read("heron.yaml") == (folder / "heron.yaml").read_bytes()
        assert parcel.read("readings/door.csv") == READINGS
    called("export", "Heron Lane 3", tmp_path / "out")
    assert (tmp_path / "out" / "readings" / "door.csv").read_bytes() == READINGS
    again = tmp_path / "again.sqlite"
    called("import", tmp_path / "heron.zip", book=again)
    called("export", "Heron Lane 3", tmp_path / "again.zip", book=again)
    assert (tmp_path / "again.zip").read_bytes() == (tmp_path / "heron.zip").read_bytes()


def test_an_old_revision_can_be_had(called, folder, tmp_path):
    called("import", folder)
    called("watch", "--once", folder)
    called("export", "nothing so called", tmp_path / "x.zip", code=2)
    assert "no revision 9" in called("export", "--revision", 9, called("list").split()[0], tmp_path / "x.zip", code=2)
    assert not (tmp_path / "x.zip").exists()


def test_a_backup_goes_into_an_empty_book(called, folder, tmp_path):
    called("import", folder)
    called("backup", tmp_path / "all.backup")
    other = tmp_path / "other.sqlite"
    called("import", tmp_path / "all.backup", book=other)
    assert "1 house, whole" in called("check", book=other)
    assert "empty book" in called("import", tmp_path / "all.backup", code=2)


@pytest.mark.parametrize("name", ["none.yaml", "none.zip", "empty", "text.txt", "bad.zip"])
def test_what_is_no_house_is_refused_by_name(called, tmp_path, name):
    (tmp_path / "empty").mkdir()
    (tmp_path / "text.txt").write_text("hello")
    (tmp_path / "bad.zip").write_bytes(b"PK\x03\x04 not really")
    assert name in called("import", tmp_path / name, code=2)
    assert "empty" in called("list")


def test_a_change_in_the_folder_comes_into_the_book_and_back(called, folder, tmp_path):
    assert "taken in as Heron Lane 3" in called("watch", "--once", folder)
    assert called("watch", "--once", folder) == ""
    file = folder / "heron.yaml"
    file.write_text(file.read_text().replace("600 cfm", "900 cfm"))
    assert "saved as revision 2" in called("watch", "--once", folder)
    book = open_book(str(tmp_path / "book.sqlite"))
    (listed,) = book.houses()
    from airledger.house_book import Change

    text = book.house(listed.id).text
    assert "900 cfm" in text
    book.save(listed.id, Change({"heron.yaml": text.replace("125 cfm", "150 cfm").encode()}, 2, "Ben", ""))
    assert "written as revision 3" in called("watch", "--once", folder)
    assert "150 cfm" in file.read_text()
    # both change: a field each is merged, the same field is told and left
    book.save(listed.id, Change({"heron.yaml": file.read_text().replace("36 in", "34 in").encode()}, 3, "Ben", ""))
    file.write_text(file.read_text().replace("10 ft}", "9 ft}"))
    assert "merged" in called("watch", "--once", folder)
    assert "34 in" in file.read_text()
    assert "9 ft}" in file.read_text()
    held = book.house(listed.id)
    book.save(listed.id, Change({"heron.yaml": held.text.replace("9 ft}", "8 ft}").encode()}, 5, "Ben", ""))
    file.write_text(file.read_text().replace("9 ft}", "7 ft}"))
    assert "neither was changed" in called("watch", "--once", folder)
    assert "7 ft}" in file.read_text()
    assert "8 ft}" in book.house(listed.id).text
    file.unlink()
    assert "the house stays in the book" in called("watch", "--once", folder)
    assert "whole" in called("check")
    book.store.close()


def test_a_damaged_book_is_told_with_exit_code_2(called, folder, tmp_path):
    from sqlalchemy import text

    called("import", folder)
    book = open_book(str(tmp_path / "book.sqlite"))
    with book.store.writing() as connection:
        connection.execute(text("UPDATE contents SET data = X'00'"))
    book.store.close()
    assert "not those that were kept" in called("check", code=2)
