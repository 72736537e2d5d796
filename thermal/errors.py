"""Errors of the thermal package.

ThermalError
├── ParameterError (also ValueError)   a value outside what the physics allows
├── IntegrationError                   a step that could not be made small enough
└── EstimationError                    data that cannot support what was asked
"""

from typing import Self


class ThermalError(Exception):
    """Base class of everything this package raises on purpose."""


class ParameterError(ThermalError, ValueError):
    """A parameter is outside the range in which it has a meaning."""

    @classmethod
    def of(cls, field: str, expected: str, got: object) -> Self:
        """Build the message ``field: expected …, got …``."""
        return cls(f"{field}: expected {expected}, got {got}")


class IntegrationError(ThermalError):
    """The integrator could not meet its tolerance."""


class EstimationError(ThermalError):
    """The data given cannot support the estimate that was asked for."""


class ValidityWarning(UserWarning):
    """A correlation was used outside the range it was measured in."""
