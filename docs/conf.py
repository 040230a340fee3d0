"""How the manual is made into pages."""

project = "airledger"
author = "the airledger authors"
copyright = author
extensions = ["myst_parser"]
source_suffix = {".md": "markdown"}
exclude_patterns = ["_build"]
html_theme = "furo"
html_title = "airledger"
html_copy_source = False
html_show_sphinx = False
myst_heading_anchors = 2
