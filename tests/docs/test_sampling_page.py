"""The page on sampling names every drawn input and gives the ranks of the rule."""

import re
from pathlib import Path

import pytest

from thermal.catalogue import load_ranges
from thermal.errors import EstimationError
from thermal.sampling import bound_rank

PAGE = (Path(__file__).parents[2] / "docs" / "sampling.md").read_text(encoding="utf-8")
RANKS = re.findall(r"^\| (\d+) \| (\d+|refused) \| (\d*) ?\|", PAGE, re.MULTILINE)


@pytest.mark.parametrize("item", load_ranges(), ids=lambda item: item.name)
def test_every_drawn_input_is_in_its_list(item):
    """What all brakes share and what each draws for itself are told apart."""
    common, _, rest = PAGE.partition("**One draw for each brake:**")
    assert f"`{item.name}`" in (rest.split("\n\n")[0] if item.per_brake else common)


def test_ranks_of_the_page_are_those_of_the_rule():
    """Rank and the samples above it, and what is refused."""
    assert [count for count, _, _ in RANKS] == ["256", "512", "1024", "2048"]
    for count, rank, above in RANKS:
        if rank == "refused":
            with pytest.raises(EstimationError):
                bound_rank(int(count), 0.99, 0.95)
        else:
            assert bound_rank(int(count), 0.99, 0.95) == int(rank)
            assert int(count) - int(rank) == int(above)


def test_ranks_of_the_study_are_those_of_the_rule():
    """The study's rows were computed with the ranks that hold today."""
    rows = re.findall(r"\| (?:independent|scrambled Sobol) \| (\d+) \| (\d+) \|", PAGE)
    assert len(rows) == 12
    for count, rank in rows:
        assert bound_rank(int(count), 0.99, 0.95) == int(rank)
