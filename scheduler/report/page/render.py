"""View record → HTML text, and the file as a whole.

The style sheet and the script stand in the page itself, the script named by its digest
so that the browser runs no other; every value is escaped by the template engine.
"""

import re
from base64 import b64encode
from collections.abc import Sequence
from functools import cache
from hashlib import sha256
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

from scheduler.files.atomic import write_text
from scheduler.plan import Plan
from scheduler.report.page.view import page_view

if TYPE_CHECKING:
    from jinja2 import Environment

_INDENT = re.compile(r"\n\s+")
_AIRY = (("; ", ";"), (": ", ":"), (" { ", "{"), (" }", "}"))
_STYLES = ("page.css", "timeline.css", "paper.css")
_SCRIPTS = ("axis.js", "rows.js", "tables.js")


def page_text(plan: Plan, violations: Sequence[str] = ()) -> str:
    """HTML of a plan's page.

    Parameters
    ----------
    plan : Plan
        The plan, as written or as read back from its file.
    violations : sequence of str
        What a check found wrong with it, told first.

    Returns
    -------
    text : str
        One file that asks for nothing from anywhere.
    """
    template = _environment().get_template("page.html")
    text = template.render(
        page=page_view(plan, violations),
        style=_style(),
        script=_joined(_SCRIPTS),
        digest=_digest(_joined(_SCRIPTS)),
    )
    return _INDENT.sub("\n", text)


def write_page(plan: Plan, path: Path, *, violations: Sequence[str] = ()) -> None:
    """Write the page of a plan, whole or not at all.

    Raises
    ------
    OSError
        When the folder cannot be written to.
    """
    write_text(path, page_text(plan, violations))


@cache
def _environment() -> "Environment":
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("scheduler.report.page"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


@cache
def _joined(names: tuple[str, ...]) -> str:
    """Texts of several files, as they will stand in the page."""
    folder = files("scheduler.report.page") / "templates"
    text = "\n".join((folder / name).read_text(encoding="utf-8") for name in names)
    return _INDENT.sub("\n", text)


@cache
def _style() -> str:
    """Style sheets without the blanks that only people need."""
    text = _joined(_STYLES)
    for airy, tight in _AIRY:
        text = text.replace(airy, tight)
    return text


def _digest(text: str) -> str:
    return b64encode(sha256(text.encode()).digest()).decode()
