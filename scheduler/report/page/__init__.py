"""The day as one page, ``report.html``: everything in one file, drawn from the plan.

Enters: a plan. Leaves: HTML that asks for nothing from anywhere. View records say what
is shown and where; the templates only write it down.
"""

from scheduler.report.page.render import page_text, write_page

__all__ = ["page_text", "write_page"]
