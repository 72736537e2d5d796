"""The page that shows published figures, ours and the verdict."""

from pathlib import Path

from .estimates import estimates_text
from .orders import orders_text
from .registry import COMPUTATIONS, PublishedValue, Topic
from .simulations import simulations_text
from .techniques import techniques_text

PAGE = Path(__file__).parents[2] / "docs" / "validation.md"
OPENING = """# Validation

What heatslot computes beside published figures, each with its source and the
tolerance that the tests hold it to. *From memory* means that the primary text has not
been looked at; *computed* that the figure follows from the formula named.

This page is written by `python -m tests.published`; edit the tables in
`tests/published` instead.
"""
HEADING = (
    "| quantity | published | heatslot | unit | tolerance | verdict | source |\n"
    "|---|---:|---:|---|---|---|---|\n"
)


def page_text(topics: tuple[Topic, ...]) -> str:
    """The whole page as Markdown."""
    sections = [
        f"\n## {topic.title}\n\n{HEADING}" + "".join(map(_row, topic.values))
        for topic in topics
    ]
    computed = orders_text() + techniques_text() + estimates_text()
    return OPENING + "".join(sections) + computed + simulations_text()


def _row(value: PublishedValue) -> str:
    ours = float(COMPUTATIONS[value.id]())
    verdict = "agrees" if value.agrees(ours) else "**differs**"
    cells = (
        value.quantity,
        f"{value.published:.7g}",
        f"{ours:.6g}",
        value.unit,
        _tolerance(value),
        verdict,
        value.source,
    )
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |\n"


def _tolerance(value: PublishedValue) -> str:
    if value.tolerance_fraction is None:
        return f"± {value.tolerance:g} {value.unit}".rstrip()
    return f"± {100.0 * value.tolerance_fraction:g} %"
