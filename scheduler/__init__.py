"""The day of a station: from a scenario folder to a verified plan.

The names below are all that other programs need. Each is loaded at its first use, so
that importing the package costs nothing:

>>> import scheduler                                            # doctest: +SKIP
>>> day = scheduler.read_scenario(Path("scenarios/tarn-field"))  # doctest: +SKIP
>>> result = scheduler.plan_day(day, scheduler.SolveConfig())    # doctest: +SKIP
>>> result.plan.status                                          # doctest: +SKIP
<Status.OPTIMAL: 'optimal'>
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from scheduler.day import Day
    from scheduler.errors import ScenarioError, SchedulerError
    from scheduler.files import read_scenario, write_template
    from scheduler.files.plan_file import read_plan, write_plan
    from scheduler.options import Option, OptionTable
    from scheduler.plan import Plan, Status
    from scheduler.readiness import build_tables
    from scheduler.solve import SolveConfig, SolveResult, plan_day
    from scheduler.verify import Violation, check

__all__ = [
    "Day",
    "Option",
    "OptionTable",
    "Plan",
    "ScenarioError",
    "SchedulerError",
    "SolveConfig",
    "SolveResult",
    "Status",
    "Violation",
    "build_tables",
    "check",
    "plan_day",
    "read_plan",
    "read_scenario",
    "write_plan",
    "write_template",
]

_HOME_OF = {
    "Day": "scheduler.day",
    "Option": "scheduler.options",
    "OptionTable": "scheduler.options",
    "Plan": "scheduler.plan",
    "ScenarioError": "scheduler.errors",
    "SchedulerError": "scheduler.errors",
    "SolveConfig": "scheduler.solve",
    "SolveResult": "scheduler.solve",
    "Status": "scheduler.plan",
    "Violation": "scheduler.verify",
    "build_tables": "scheduler.readiness",
    "check": "scheduler.verify",
    "plan_day": "scheduler.solve",
    "read_plan": "scheduler.files.plan_file",
    "read_scenario": "scheduler.files",
    "write_plan": "scheduler.files.plan_file",
    "write_template": "scheduler.files",
}


def __getattr__(name: str) -> Any:
    """Load a public name from its module at first use."""
    home = _HOME_OF.get(name)
    if home is None:
        raise AttributeError(f"module 'scheduler' has no attribute {name!r}")
    value = getattr(import_module(home), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """Public names, loaded or not."""
    return sorted({*globals(), *__all__})
