"""What people read of a plan: tables, action list, messages, cautions, CSV, page."""

from scheduler.report.actions import actions
from scheduler.report.cautions import CAUTIONS
from scheduler.report.csv_files import write_csv_files
from scheduler.report.day_report import print_day
from scheduler.report.departures import messages
from scheduler.report.surroundings import with_surroundings

__all__ = [
    "CAUTIONS",
    "actions",
    "messages",
    "print_day",
    "with_surroundings",
    "write_csv_files",
]
