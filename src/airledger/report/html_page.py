"""The papers as one page for a browser: the same blocks as on paper, its fonts and pictures inside, nothing fetched."""

from __future__ import annotations

import base64
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from html import escape
from importlib import resources
from typing import Any

from airledger.report.blocks import Block, Section

FONTS = {400: "AirledgerSans-Regular.woff2", 600: "AirledgerSans-SemiBold.woff2"}
"""Weight -> the font of the papers cut down to Latin letters and signs; its licence asks for another name."""


def page(content: Mapping[str, Any], pictures: Mapping[str, str]) -> str:
    """A whole page of HTML.

    Parameters
    ----------
    content : dict
        every word and figure, as the paper's template reads it too
    pictures : dict
        file name -> SVG
    """
    title = escape(content["title"])
    parts = [
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{title}</title>\n<style>\n{_style()}</style>\n</head>\n<body>",
        f"<header><p><strong>{escape(content['house'])}</strong></p>"
        f'<p class="grey">{escape(content["date"])}</p></header>\n<main>',
        *_first(content, pictures),
        *(_section(place, section, pictures) for place, section in enumerate(content["sections"], 1)),
        f"</main>\n<footer><p>{escape(content['caution'])}</p></footer>\n</body>\n</html>\n",
    ]
    return "\n".join(part for part in parts if part)


def first(content: Mapping[str, Any], pictures: Mapping[str, str]) -> str:
    """What stands first, without a page around it.

    Parameters
    ----------
    content : dict
        every word and figure, as for `page`
    pictures : dict
        file name -> SVG
    """
    return "\n".join(_first(content, pictures))


def look(fonts: str) -> str:
    """The look as a style sheet that takes its fonts from addresses.

    Parameters
    ----------
    fonts : str
        the address before each font's file name
    """
    return _faces("font-display: swap; ", lambda file: f'"{fonts}{file}"') + _sheet()


@cache
def fonts_inside() -> str:
    """The fonts' rules with the fonts in them, for a page that needs no other file."""
    fonts = resources.files("airledger").joinpath("report", "fonts")

    def address(file: str) -> str:
        return f"data:font/woff2;base64,{base64.b64encode(fonts.joinpath(file).read_bytes()).decode('ascii')}"

    return _faces("", address)


def _faces(more: str, address: Callable[[str], str]) -> str:
    """A rule a weight; address gives where each file is, as it stands within url()."""
    return "".join(
        f'@font-face {{ font-family: "Airledger Sans"; font-weight: {weight}; {more}'
        f'src: url({address(file)}) format("woff2"); }}\n'
        for weight, file in FONTS.items()
    )


def subjects(sections: Sequence[Section], heading: str = "h2") -> str:
    """Subjects as HTML without a page around them, pictures in it.

    Parameters
    ----------
    sections : sequence of Section
        each with its drawings
    heading : str
        ``h2``, or ``h1`` where the first subject's sentence heads the page
    """
    parts = []
    for place, section in enumerate(sections, 1):
        drawings = {file: drawing.svg() for file, drawing in section.pictures.items()}
        block = {"sentence": section.sentence, "blocks": section.blocks, "own_page": False}
        made = _section(place, block, drawings)
        if heading == "h1" and place == 1:
            made = made.replace("<h2", "<h1", 1).replace("</h2>", "</h1>", 1)
            made = made.replace("<h3>", '<h2 class="sub">').replace("</h3>", "</h2>")  # no step left out below h1
        parts.append(made)
    return "\n".join(parts)


@cache
def _style() -> str:
    """The look, with the fonts in it."""
    return fonts_inside() + _sheet()


def _sheet() -> str:
    return resources.files("airledger").joinpath("report", "templates", "copy.css").read_text(encoding="utf-8")


def _first(content: Mapping[str, Any], pictures: Mapping[str, str]) -> list[str]:
    """What stands first: danger, the sentence, the tape, what to do next, then what follows."""
    parts = [_danger(danger) for danger in content["dangers"]]
    parts.append(f"<h1>{escape(content['headline'])}</h1>")
    parts += [f"<p>{escape(words)}</p>" for words in content["under"]]
    if content["tape"]:
        parts.append(_picture(content["tape"], pictures))
    if content["actions"]:
        lines = "\n".join(_action(action) for action in content["actions"])
        parts.append(f'<h2>Do next</h2>\n<ol class="do">\n{lines}\n</ol>')
    if content["sections"]:
        lines = "\n".join(
            f'<li><a href="#part-{place}">{escape(section["sentence"])}</a></li>'
            for place, section in enumerate(content["sections"], 1)
        )
        parts.append(f'<nav aria-label="What follows">\n<ol>\n{lines}\n</ol>\n</nav>')
    return parts


def _danger(danger: Mapping[str, Any]) -> str:
    """What puts somebody in danger at one place, and what to do."""
    messages = "".join(f"<p>{escape(message)}</p>" for message in danger["messages"])
    return (
        f'<div class="box danger"><p><strong>DANGER · {escape(danger["where"])}</strong></p>{messages}'
        f"<p><strong>{escape(danger['action'])}</strong></p></div>"
    )


def _action(action: Mapping[str, str]) -> str:
    detail = f'<span class="detail">{escape(action["detail"])}</span>' if action["detail"] else ""
    return f"<li>{escape(action['action'])}{detail}</li>"


def _section(place: int, section: Block, pictures: Mapping[str, str]) -> str:
    """A subject under its opening sentence."""
    kind = ' class="page"' if section["own_page"] else ""
    name = f"part-{place}"
    head = f'<section{kind} aria-labelledby="{name}">\n<h2 id="{name}">{escape(section["sentence"])}</h2>'
    label = section["sentence"]
    blocks = []
    for block in section["blocks"]:
        if block["kind"] == "heading":
            label = block["words"]
        blocks.append(_block(block, label, pictures))
    return "\n".join([head, *blocks, "</section>"])


def _block(block: Block, label: str, pictures: Mapping[str, str]) -> str:
    """One block of a subject; label is what it stands under."""
    kind = block["kind"]
    if kind == "picture":
        return _picture(block, pictures)
    if kind == "table":
        return _table(block, label)
    if kind == "items":
        return '<dl class="items">\n' + "\n".join(_item(line) for line in block["items"]) + "\n</dl>"
    if kind == "heading":
        return f"<h3>{escape(block['words'])}</h3>"
    small = ' class="small"' if block["small"] else ""
    return f"<p{small}>{escape(block['words'])}</p>"


def _picture(block: Block, pictures: Mapping[str, str]) -> str:
    """A picture drawn in the page; narrow screens scroll it in its own box."""
    name = escape(block["alt"])
    return f'<figure tabindex="0" role="group" aria-label="{name}">\n{pictures[block["file"]]}</figure>'


def _item(line: Mapping[str, Any]) -> str:
    danger = ' class="danger"' if line["danger"] else ""
    small = f'<p class="small">{escape(line["small"])}</p>' if line["small"] else ""
    return f"<div><dt{danger}>{escape(line['word'])}</dt><dd{danger}>{escape(line['words'])}{small}</dd></div>"


def _table(block: Block, label: str) -> str:
    """A table with the scope of every head said; narrow screens scroll it in its own box."""
    title = block["title"]
    columns = [
        {**column, "wide": block["share"].get(str(place), 1) >= 2} for place, column in enumerate(block["columns"])
    ]
    heads = "".join(
        f'<th scope="col"{_kind(column)}>{escape(" ".join(column["heading"].split()))}'
        + (f' <span class="unit">{escape(column["unit"])}</span>' if column["unit"] else "")
        + "</th>"
        for column in columns
    )
    bodies = "\n".join(_row(row, columns) for row in block["rows"])
    return (
        (f"<h3>{escape(title)}</h3>\n" if title else "")
        + f'<div class="scroll" tabindex="0" role="group" aria-label="{escape(title or label)}">\n<table>\n'
        + f"<thead><tr>{heads}</tr></thead>\n{bodies}\n</table>\n</div>"
    )


def _kind(column: Mapping[str, Any]) -> str:
    if not column["words"]:
        return ""
    return ' class="words wide"' if column["wide"] else ' class="words"'


def _row(row: Mapping[str, Any], columns: list[dict[str, Any]]) -> str:
    """A row as a body of its own, so that the line below it stays with it."""
    cells = []
    for place, (words, column) in enumerate(zip(row["cells"], columns, strict=True)):
        tag, scope = ("td", "") if place else ("th", ' scope="row"')
        first, _, more = words.partition("\n")
        below = f' <span class="more">{escape(more)}</span>' if more else ""
        cells.append(f"<{tag}{scope}{_kind(column)}>{escape(first)}{below}</{tag}>")
    strong = ' class="strong"' if row["strong"] else ""
    below = f'\n<tr class="below"><td colspan="{len(columns)}">{escape(row["below"])}</td></tr>' if row["below"] else ""
    return f"<tbody><tr{strong}>{''.join(cells)}</tr>{below}</tbody>"
