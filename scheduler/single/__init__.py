"""One aircraft, no folder: does it make its off-block, and would a fan help.

Enters: a `Question`. Leaves: an `Answer`. A reading of the indicator weights the
samples of the landing by how well they foretell it.
"""

from scheduler.single.answer import answer
from scheduler.single.evidence import Evidence
from scheduler.single.question import Question
from scheduler.single.record import Answer, Verdict

__all__ = ["Answer", "Evidence", "Question", "Verdict", "answer"]
