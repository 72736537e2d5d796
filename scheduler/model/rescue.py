"""What the solver was given, kept where it failed, so that it can be run again.

Enters: a model with its hint, the solver's parameters, a folder. Leaves: the folder
with ``model.pb``, which holds the hint too, ``parameters.txt`` and ``solver.log``. It
is written before the solver starts, because a solver that crashes takes its process
with it, and removed when the solver comes back.
"""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

from ortools.sat.python import cp_model


@contextmanager
def kept_if_lost(
    model: cp_model.CpModel, solver: cp_model.CpSolver, folder: Path | None
) -> Iterator[None]:
    """Keep the model in the folder unless the solver comes back."""
    keep(model, solver, folder)
    if folder is None:
        yield
        return
    with (folder / "solver.log").open("w", encoding="utf-8") as log:
        solver.parameters.log_search_progress = True
        solver.parameters.log_to_stdout = False
        solver.log_callback = lambda line: _append(log, line)
        yield
    shutil.rmtree(folder, ignore_errors=True)


def _append(log: TextIO, line: str) -> None:
    """Write a line at once: the process may not live to close the file."""
    log.write(f"{line}\n")
    log.flush()


def keep(
    model: cp_model.CpModel, solver: cp_model.CpSolver, folder: Path | None
) -> None:
    """Write model, hint and parameters into a folder; no folder, nothing kept."""
    if folder is None:
        return
    folder.mkdir(parents=True, exist_ok=True)
    model.export_to_file(str(folder / "model.pb"))
    (folder / "parameters.txt").write_text(str(solver.parameters), encoding="utf-8")
