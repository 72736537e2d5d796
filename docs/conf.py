"""How the site is built: `python -m sphinx -W -b html docs docs/_build/html`.

Command help and pictures come from the program at each build, into `docs/_generated`.
"""

import sys
from importlib.metadata import version as installed
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.docs.site_parts import write_api, write_commands, write_pictures  # noqa: E402

project = "heatslot"
version = release = installed("heatslot")
extensions = [
    "myst_parser",
    "sphinx.ext.autodoc",
    "sphinx.ext.mathjax",
    "sphinx.ext.napoleon",
]
myst_enable_extensions = ["dollarmath"]
myst_heading_anchors = 4
exclude_patterns = ["_build"]
autodoc_typehints = "none"
autodoc_default_options = {"members": True, "member-order": "bysource"}
napoleon_google_docstring = False
napoleon_use_rtype = False
html_theme = "furo"
html_title = "heatslot"
html_show_sourcelink = False
html_theme_options = {
    "light_css_variables": {"color-brand-primary": "#0b3c5d"},
    "announcement": "Advisory only. Approved manuals, the operator's procedures and "
    "licensed staff decide.",
}

GENERATED = Path(__file__).parent / "_generated"
GENERATED.mkdir(exist_ok=True)
write_commands(GENERATED)
write_api(GENERATED)
write_pictures(GENERATED)
