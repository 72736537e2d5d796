"""Files of a station to records, and back.

A scenario folder enters, a `Day` leaves; every fault of the files is told at once.
"""

from scheduler.files.scenario import read_scenario
from scheduler.files.template import write_template

__all__ = ["read_scenario", "write_template"]
