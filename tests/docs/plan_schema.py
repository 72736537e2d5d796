"""Write docs/plan.schema.json from the code: `python -m tests.docs.plan_schema`."""

import json
from pathlib import Path

from scheduler.files.plan_schema import json_schema

PAGE = Path(__file__).parents[2] / "docs" / "plan.schema.json"


def text() -> str:
    """Text of the file as the code has it now."""
    return json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    PAGE.write_text(text(), encoding="utf-8")
