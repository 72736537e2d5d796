"""How many draws may be above a threshold, and which others are the hottest.

The limit confidence leaves a few draws out: where a draw is not the one that set the
minute, it alone proves no fault; more than may be have to be above the threshold.
Enters: a case, sample count, confidences.
"""

import numpy as np

from scheduler.cases import Case


def spare_samples(count: int, confidence: float, assurance: float) -> int:
    """Count the samples that may break a limit and still bound the share that does.

    The most failures that are seen with a chance of at most 1 - assurance where the
    share of failures is as large as 1 - confidence (binomial; Wilks 1941, doi
    10.1214/aoms/1177731788). It is -1 where so few samples cannot support it.
    """
    from scipy.stats import binom

    chance = binom.cdf(np.arange(count + 1), count, 1.0 - confidence)
    return int(np.count_nonzero(chance <= 1.0 - assurance)) - 1


def hottest_rows(case: Case, but_sample: int, count: int) -> list[int]:
    """One row of each of the hottest samples but one, hottest first.

    Hottest by the heat of arrival, taxi-out and accelerate-stop per kilogram of stack,
    and more so where little air reaches the brake.
    """
    rows, (samples, brakes) = case.rows, case.shape
    heat_j = rows.arrival_j + rows.taxi_out_j + rows.stop_j
    heat = heat_j / (rows.stack_fraction * np.sqrt(rows.fan_factor))
    by_brake = heat.reshape(samples, brakes)
    worst = by_brake.max(axis=1)
    worst[but_sample] = -np.inf
    order = np.argsort(-worst, kind="stable")[: min(count, samples - 1)]
    return [int(sample) * brakes + int(by_brake[sample].argmax()) for sample in order]
