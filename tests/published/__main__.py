"""Write ``docs/validation.md``: ``python -m tests.published``."""

from .registry import load_topics
from .table import PAGE, page_text

PAGE.write_text(page_text(load_topics()), encoding="utf-8")
