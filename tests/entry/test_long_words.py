"""A name of sixty letters without a blank stays within the margins of the paper."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from pathlib import Path

from airledger.report import pdf
from tests.unit.report.sample import outcome

WORD = "W" * 60
MARGIN, SHEET = 54.0, 612.0  # 0.75 in and 8.5 in, in points


def test_a_word_longer_than_its_line_or_column_ends_at_the_margin(tmp_path: Path) -> None:
    ran = outcome(danger=True)
    findings = tuple(replace(found, message=f"In {WORD}, {found.message}", where=WORD) for found in ran.findings)
    study = ran.results["depressurization"]
    named = tuple({**row, "verdict": WORD} for row in study.tables["named"])
    results = {**ran.results, "depressurization": replace(study, tables={**study.tables, "named": named})}
    ran = replace(ran, house=replace(ran.house, name=WORD), headline=f"{WORD}.", findings=findings, results=results)
    (tmp_path / "paper.pdf").write_bytes(pdf(ran, "ip"))
    boxes = subprocess.run(
        ["pdftotext", "-bbox", str(tmp_path / "paper.pdf"), "-"], capture_output=True, check=True, text=True
    ).stdout
    right = [float(edge) for edge in re.findall(r'xMax="([\d.]+)"', boxes)]
    assert "WWWWWWWW" in boxes
    assert max(right) <= SHEET - MARGIN + 1.0
