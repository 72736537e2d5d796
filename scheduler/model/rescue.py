"""What the solver was given, kept where it failed, so that it can be run again.

Enters: a model with its hint, the solver's parameters, a folder. Leaves: the folder
with ``model.pb``, which holds the hint too, and ``parameters.txt``. It is written
before the solver starts, because a solver that crashes takes its process with it, and
removed when the solver comes back.
"""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ortools.sat.python import cp_model


@contextmanager
def kept_if_lost(
    model: cp_model.CpModel, solver: cp_model.CpSolver, folder: Path | None
) -> Iterator[None]:
    """Keep the model in the folder unless the solver comes back."""
    keep(model, solver, folder)
    yield
    if folder is not None:
        shutil.rmtree(folder, ignore_errors=True)


def keep(
    model: cp_model.CpModel, solver: cp_model.CpSolver, folder: Path | None
) -> None:
    """Write model, hint and parameters into a folder; no folder, nothing kept."""
    if folder is None:
        return
    folder.mkdir(parents=True, exist_ok=True)
    model.export_to_file(str(folder / "model.pb"))
    (folder / "parameters.txt").write_text(str(solver.parameters), encoding="utf-8")
