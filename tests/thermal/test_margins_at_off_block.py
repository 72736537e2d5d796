"""Margins count from off-block on, although the taxi cools plugs and beads."""

from pathlib import Path

import numpy as np
import pytest

from scheduler.cases import build_case, network_of
from scheduler.files import read_scenario, write_template
from thermal.margins import Margin, departure_margins_k


@pytest.mark.parametrize(
    ("node", "margin"),
    [("plug", Margin.PLUG), ("tyre bead", Margin.OTHER)],
)
def test_too_warm_at_off_block_alone_counts(
    tmp_path: Path, node: str, margin: Margin
) -> None:
    """A part five kelvin above its limit at off-block lacks five kelvin at least."""
    write_template(tmp_path / "day")
    day = read_scenario(tmp_path / "day")
    case = build_case(day, day.turnarounds[0], sample_count=1, seed=1, central=True)
    network, rows = network_of(case.aircraft.brake), case.rows.select(np.array([0]))
    plug, bead_k = network.brake.plug, network.brake.limits.bead_k
    assert bead_k is not None
    limit_k = {"plug": plug.release_k - plug.margin_k, "tyre bead": bead_k}[node]
    state_k = np.full((1, len(network.nodes)), 320.0)
    state_k[0, network.index(node)] = limit_k + 5.0
    margins = departure_margins_k(network, rows, state_k, np.array([60.0]))
    assert margins[0, margin] <= -5.0 + 1e-9
