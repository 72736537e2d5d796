"""What happened today: entries of the log, their file, and the day they make.

A `Day` as planned and the entries enter, the `Day` as it is leaves.
"""

from scheduler.events.entry import COLUMNS, FILE, NEEDS, Entry, Event, spelled
from scheduler.events.lines import take_apart
from scheduler.events.log_file import open_log
from scheduler.events.replay import Contradiction, apply_events, replay, state_day
from scheduler.events.words import said, title

__all__ = [
    "COLUMNS",
    "FILE",
    "NEEDS",
    "Contradiction",
    "Entry",
    "Event",
    "apply_events",
    "open_log",
    "replay",
    "said",
    "spelled",
    "state_day",
    "take_apart",
    "title",
]
