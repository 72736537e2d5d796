"""Small horizontal bars for a terminal, no colour."""

BLOCK, COLUMNS = "█", 30


def bar(value: float, greatest: float, columns: int = COLUMNS) -> str:
    """Bar of a value against the greatest one; at least one block above zero."""
    if not (value > 0.0 and greatest > 0.0):
        return ""
    return BLOCK * max(1, round(columns * min(value / greatest, 1.0)))
