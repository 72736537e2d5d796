"""Elimination in a fixed order against a dense solver, for many samples at once."""

import numpy as np
import pytest

from tests.brake_days import network_of
from thermal.arrays import FloatArray
from thermal.catalogue import known_brakes
from thermal.elimination import Elimination

BATCH = 7


def random_system(
    first: np.ndarray, second: np.ndarray, nodes: int, seed: int
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Conductances of every link, what each node adds, and the right-hand side."""
    generator = np.random.default_rng(seed)
    links_w_per_k = 10.0 ** generator.uniform(-3.0, 3.0, (first.size, BATCH))
    own_w_per_k = 10.0 ** generator.uniform(-2.0, 2.0, (nodes, BATCH))
    return links_w_per_k, own_w_per_k, generator.normal(size=(nodes, BATCH))


def solved(
    pattern: Elimination,
    first: np.ndarray,
    second: np.ndarray,
    links: FloatArray,
    own: FloatArray,
    right: FloatArray,
) -> FloatArray:
    """What the elimination makes of it."""
    work = pattern.workspace(own.shape[0], BATCH)
    work.diagonal[:] = own
    np.add.at(work.diagonal, first, links)
    np.add.at(work.diagonal, second, links)
    work.conductance[: pattern.linked_pair_count] = 0.0
    np.add.at(work.conductance, pattern.link_pair, links)
    work.factorise()
    work.right[:] = right
    return work.solve().copy()


def dense(
    first: np.ndarray,
    second: np.ndarray,
    links: FloatArray,
    own: FloatArray,
    right: FloatArray,
) -> FloatArray:
    """The same systems as full matrices, one by one."""
    out = np.empty_like(right)
    for sample in range(BATCH):
        matrix = np.diag(own[:, sample])
        for a, b, link in zip(first, second, links[:, sample], strict=True):
            matrix[[a, b], [a, b]] += link
            matrix[[a, b], [b, a]] -= link
        out[:, sample] = np.linalg.solve(matrix, right[:, sample])
    return out


@pytest.mark.parametrize("brake", known_brakes())
def test_brake_networks_are_solved_as_by_a_dense_solver(brake: str) -> None:
    """In each network's own order of elimination."""
    network = network_of(brake)
    pattern = Elimination(network.first, network.second, network.order)
    links, own, right = random_system(
        network.first, network.second, len(network.nodes), seed=1
    )
    ours = solved(pattern, network.first, network.second, links, own, right)
    theirs = dense(network.first, network.second, links, own, right)
    np.testing.assert_allclose(ours, theirs, rtol=1e-9, atol=1e-12)


@pytest.mark.parametrize("seed", range(20))
def test_any_pattern_in_any_order(seed: int) -> None:
    """Random links, parallel ones among them, eliminated in a random order."""
    generator = np.random.default_rng(seed)
    nodes = int(generator.integers(2, 9))
    count = int(generator.integers(1, 16))
    first = generator.integers(0, nodes, count)
    second = (first + generator.integers(1, nodes, count)) % nodes
    order = tuple(int(row) for row in generator.permutation(nodes))
    links, own, right = random_system(first, second, nodes, seed)
    pattern = Elimination(first, second, order)
    ours = solved(pattern, first, second, links, own, right)
    theirs = dense(first, second, links, own, right)
    np.testing.assert_allclose(ours, theirs, rtol=1e-8, atol=1e-10)


@pytest.mark.parametrize("brake", known_brakes())
def test_order_visits_every_node_once_with_little_fill(brake: str) -> None:
    """Fill stays below 0.6 of the linked pairs, and below that of discs first."""
    network = network_of(brake)
    assert sorted(network.order) == list(range(len(network.nodes)))
    pattern = Elimination(network.first, network.second, network.order)
    assert pattern.pair_count < 1.6 * pattern.linked_pair_count
    plain = Elimination(network.first, network.second, tuple(range(len(network.nodes))))
    assert pattern.pair_count < plain.pair_count


def test_one_factorisation_serves_several_right_hand_sides() -> None:
    """The second solution does not depend on the first."""
    first, second = np.array([0, 1]), np.array([1, 2])
    pattern = Elimination(first, second, (0, 1, 2))
    links, own, right = random_system(first, second, 3, seed=5)
    alone = solved(pattern, first, second, links, own, right)
    work = pattern.workspace(3, BATCH)
    work.diagonal[:] = own
    np.add.at(work.diagonal, first, links)
    np.add.at(work.diagonal, second, links)
    work.conductance[:2] = links
    work.factorise()
    for values in (np.ones((3, BATCH)), right):
        work.right[:] = values
        last = work.solve().copy()
    np.testing.assert_allclose(last, alone, rtol=1e-13)
