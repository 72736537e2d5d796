"""The result records: words for people, look-up, and that nobody can change them."""

from dataclasses import FrozenInstanceError

import pytest
from good_plan import make_day, make_heat, make_plan

from scheduler.errors import UnknownTurnaroundError
from scheduler.options import PlugRisk
from scheduler.plan import SCHEMA_VERSION, Status

PLAN = make_plan(make_day())


@pytest.mark.parametrize("status", list(Status))
def test_every_status_has_a_sentence_of_its_own(status: Status):
    """People read a sentence, no two alike."""
    sentences = [other.sentence for other in Status]
    assert sentences.count(status.sentence) == 1
    assert len(status.sentence.split()) > 4


def test_only_a_relaxed_plan_breaks_rules():
    """Every status but relaxed keeps every rule."""
    assert [status for status in Status if not status.is_ok] == [Status.RELAXED]


def test_row_by_its_id():
    """A row is found by its id."""
    assert PLAN.of("C3").off_block_minute == 720


def test_an_unknown_id_is_told_with_the_known_ones():
    """Asking for a row that is not there says which ones are."""
    known = ", ".join(row.id for row in PLAN.turnarounds)
    text = f"turnaround: expected one of {known}, got Z9"
    with pytest.raises(UnknownTurnaroundError, match=f"^{text}$"):
        PLAN.of("Z9")


def test_risk_of_a_summary_follows_its_probability():
    """The word comes from the number."""
    assert make_heat(0.001).risk is PlugRisk.LOW
    assert make_heat(0.05).risk is PlugRisk.RAISED
    assert make_heat(0.5).risk is PlugRisk.HIGH


def test_a_plan_carries_its_version():
    """A reader can tell which version wrote it."""
    assert PLAN.schema_version == SCHEMA_VERSION == 1


def test_a_plan_cannot_be_changed():
    """What was decided stays."""
    with pytest.raises(FrozenInstanceError):
        PLAN.turnarounds[0].off_block_minute = 0
