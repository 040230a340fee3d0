"""The papers as one page for a browser: well formed, nothing fetched, every name escaped, danger before all else."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from airledger.report.outcome import Outcome
from airledger.report.paper import drawn
from tests.unit.report.sample import one_room, outcome

VOID = {"meta", "rect", "line", "polygon", "polyline", "path", "circle", "br"}


class Tree(HTMLParser):
    """What a browser sees: every element with its attributes, in order, and what was closed out of turn."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.wrong: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID and (not self.open or self.open.pop() != tag):
            self.wrong.append(tag)

    def having(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]


def page(ran: Outcome, system: str = "ip") -> str:
    return drawn(ran, system).html()


@pytest.mark.parametrize("ran", [outcome(), outcome(danger=True), one_room()], ids=["house", "danger", "one room"])
def test_every_element_is_closed_in_turn_and_every_id_stands_once(ran: Outcome) -> None:
    tree = Tree(page(ran))
    assert tree.wrong == []
    assert tree.open == []
    ids = [str(attributes["id"]) for _, attributes in tree.elements if "id" in attributes]
    assert len(ids) == len(set(ids))
    links = [str(attributes["href"]).removeprefix("#") for attributes in tree.having("a")]
    assert set(links) <= set(ids)
    assert links


def test_nothing_is_fetched_and_nothing_runs() -> None:
    made = page(outcome(danger=True))
    tree = Tree(made)
    assert not {"script", "link", "img", "iframe", "object"} & {tag for tag, _ in tree.elements}
    assert not [attributes for _, attributes in tree.elements if "src" in attributes or "xlink:href" in attributes]
    assert all(found.startswith(("data:", "#")) for found in re.findall(r"url\(([^)]+)\)", made))
    assert "@import" not in made


def test_one_heading_of_the_first_rank_and_no_rank_left_out() -> None:
    ranks = [int(tag[1]) for tag, _ in Tree(page(outcome(danger=True))).elements if re.fullmatch("h[1-6]", tag)]
    assert ranks.count(1) == 1
    assert ranks[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(ranks))


def test_heads_of_tables_say_their_scope_and_pictures_and_boxes_that_scroll_have_a_name() -> None:
    tree = Tree(page(outcome()))
    assert tree.having("th")
    assert {head.get("scope") for head in tree.having("th")} == {"col", "row"}
    scrolling = [attributes for _, attributes in tree.elements if "tabindex" in attributes]
    assert len(scrolling) == len(tree.having("table")) + len(tree.having("figure"))
    assert all(attributes.get("aria-label") for attributes in scrolling)
    assert len(tree.having("svg")) == len(tree.having("figure")) > 0
    assert all(drawing.get("role") == "img" for drawing in tree.having("svg"))


def test_danger_stands_before_all_else_and_says_so_in_words() -> None:
    body = page(outcome(danger=True)).partition("<main>")[2]
    assert body.index("DANGER · water heater") < body.index("<h1>")
    assert "DANGER" not in page(outcome()).partition("<main>")[2]


def test_names_are_never_read_as_markup() -> None:
    bad = "<b>&\"'</style><script>alert(1)</script>"
    ran = outcome(danger=True)
    findings = tuple(replace(finding, message=bad, action=bad, where=bad, source=bad) for finding in ran.findings)
    made = page(
        replace(ran, headline=bad, findings=findings, house=replace(ran.house, name=bad), not_run=((bad, bad),))
    )
    assert "script" not in {tag for tag, _ in Tree(made).elements}
    assert Tree(made).wrong == []
    assert "&lt;b&gt;&amp;&quot;&#x27;" in made


def test_a_sign_that_the_fonts_of_the_papers_lack_is_left_to_the_reader() -> None:
    made = page(replace(outcome(), house=replace(outcome().house, name="Heron 家 Lane")))
    assert "Heron 家 Lane" in made
    assert "question mark" not in made


def test_a_small_house_is_told_whole_because_a_screen_is_never_full() -> None:
    made = page(one_room())
    assert all(f'<th scope="row" class="words wide">{entry.path}' in made for entry in one_room().assumed)
    assert "stand in airledger.json" not in made


def test_the_same_run_is_the_same_page() -> None:
    assert page(outcome(), "si") == page(outcome(), "si")
