"""Pictures of a plan for a handover document: SVG and PNG.

Enters: a plan, weight curves, a brief. Leaves: files in a folder, the same bytes for
the same plan and release of matplotlib. Needs the extra ``plots``; nothing of it is
loaded before the first picture.
"""

from scheduler.report.plots.canvas import FORMATS, PlotsMissingError, need_plots
from scheduler.report.plots.curves import write_curves
from scheduler.report.plots.rollouts import write_brief
from scheduler.report.plots.timeline import write_timeline
from scheduler.report.plots.weights import write_weights

__all__ = [
    "FORMATS",
    "PlotsMissingError",
    "need_plots",
    "write_brief",
    "write_curves",
    "write_timeline",
    "write_weights",
]
