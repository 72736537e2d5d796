"""Errors of the scheduler package.

SchedulerError
├── ScenarioError     bad input: every fault of the files, one a line
├── PlanFormatError   a plan file that cannot be read
├── UnknownTurnaroundError (also LookupError)  a plan is asked for an id it lacks
├── UnverifiedPlanError  even the first-come plan fails its check
└── DayError (also ValueError)   a day that contradicts itself
"""

from typing import Self


class SchedulerError(Exception):
    """Base class of everything this package raises on purpose."""


class ScenarioError(SchedulerError):
    """The input files have faults; the message lists all of them, one a line."""

    @classmethod
    def of(cls, faults: list[str]) -> Self:
        """Build one error from all faults, in the order they were found."""
        return cls("\n".join(faults))


class PlanFormatError(SchedulerError):
    """A plan file is not one of ours, or of a version that we cannot read."""


class UnknownTurnaroundError(SchedulerError, LookupError):
    """A plan has no row of the turnaround that was asked for."""

    @classmethod
    def of(cls, turnaround_id: str, known: str) -> Self:
        """Build the message, with the ids that there are."""
        return cls(f"turnaround: expected one of {known}, got {turnaround_id}")


class UnverifiedPlanError(SchedulerError):
    """No plan passed its check: day and tables contradict, or a fault is in here."""


class DayError(SchedulerError, ValueError):
    """Records that are valid one by one but contradict each other."""

    @classmethod
    def of(cls, field: str, expected: str, got: object) -> Self:
        """Build the message ``field: expected …, got …``."""
        return cls(f"{field}: expected {expected}, got {got}")
