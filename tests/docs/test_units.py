"""The page on units lists every unit that names of the code end in, and no other."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "units.md"
ROW = re.compile(r"^\| `_([a-z0-9_]+)` \|", re.MULTILINE)
# Words that are units at the end of a name, used here or not.
UNIT_WORDS = {
    *("k", "c", "f", "k4", "deg", "rad", "percent"),
    *("s", "s2", "h", "hour", "min", "minute", "minutes", "utc"),
    *("m", "m2", "m3", "km", "mm", "cm", "ft", "kt"),
    *("kg", "g", "mol", "lb", "n", "kn", "pa", "hpa", "kpa", "bar", "psi"),
    *("j", "kj", "mj", "ftlbf", "w", "kw", "mw"),
}


def public_names(tree: ast.Module) -> Iterator[str]:
    """Names of functions, their arguments, classes' fields and module constants."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            own = node.args
            yield node.name
            yield from (a.arg for a in (*own.posonlyargs, *own.args, *own.kwonlyargs))
        elif isinstance(node, ast.ClassDef | ast.Module):
            for part in node.body:
                targets = part.targets if isinstance(part, ast.Assign) else []
                if isinstance(part, ast.AnnAssign):
                    targets = [part.target]
                yield from (t.id for t in targets if isinstance(t, ast.Name))


def unit_of(name: str) -> str | None:
    """Longest end of a name that is made of unit words; None for a pure number."""
    words = name.lower().split("_")
    start = len(words)
    while start > 1 and words[start - 1] in {*UNIT_WORDS, "per"}:
        start -= 1
    tail = words[start:]
    while tail and (tail[0] == "per" or ("per" not in tail and len(tail) > 1)):
        tail = tail[1:]
    return "_".join(tail) or None


def used_units() -> dict[str, str]:
    """Every ending in the code, with one name that has it."""
    found = {}
    for package in ("thermal", "scheduler"):
        for path in sorted((ROOT / package).rglob("*.py")):
            tree = ast.parse(path.read_text(encoding="utf-8"))
            for name in public_names(tree):
                unit = None if name.startswith("_") else unit_of(name)
                if unit is not None:
                    found.setdefault(unit, f"{path.relative_to(ROOT)}: {name}")
    return found


def test_endings_are_found_in_names():
    """A name gives up its unit, and nothing where it has none."""
    assert unit_of("touchdown_speed_m_per_s") == "m_per_s"
    assert unit_of("STEFAN_BOLTZMANN_W_PER_M2_K4") == "w_per_m2_k4"
    assert unit_of("energy_per_wheel_j") == "j"
    assert unit_of("between_per_brake") is None
    assert unit_of("stack_fraction") is None
    assert unit_of("limit_hpa") == "hpa"
    assert unit_of("growth_k_per_hour") == "k_per_hour"


def test_every_ending_in_the_code_is_on_the_page():
    """A unit that the page does not explain is in no public name."""
    listed = set(ROW.findall(PAGE.read_text(encoding="utf-8")))
    used = used_units()
    assert {used[unit] for unit in used.keys() - listed} == set()


def test_every_ending_on_the_page_is_used():
    """The page explains no unit that no name has."""
    listed = ROW.findall(PAGE.read_text(encoding="utf-8"))
    assert len(listed) == len(set(listed))
    assert set(listed) - used_units().keys() == set()


def test_minutes_are_never_cut_short():
    """No name ends in an abbreviation that could be minute or minimum."""
    assert "min" not in used_units()
