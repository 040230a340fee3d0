"""How the manual is made into pages."""

import sys
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))

import list_reference  # noqa: E402  (found by way of the line above)

project = "airledger"
author = "the airledger authors"
copyright = author
extensions = ["myst_parser"]
myst_enable_extensions = ["deflist"]
source_suffix = {".md": "markdown"}
exclude_patterns = ["_build"]
html_theme = "furo"
html_title = "airledger"
html_copy_source = False
html_show_sphinx = False
myst_heading_anchors = 2


def setup(app: Any) -> None:
    """The reference is written before the pages are looked for."""
    app.connect("builder-inited", lambda _: list_reference.write(HERE / "reference"))
