"""The wheel holds both packages whole, nothing else, and works by itself."""

import json
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGES = ("thermal", "scheduler")
SHIPPED = {".py", ".toml", ".csv", ".html", ".css", ".js", ".json", ".typed"}
CONSTRAINTS = ROOT / ".ci" / "constraints.txt"

pytestmark = pytest.mark.slow


def run(*command: object, cwd: Path = ROOT, accepted: tuple[int, ...] = (0,)) -> str:
    """Output of a command; what it wrote is the failure if it fails."""
    words = [str(word) for word in command]
    done = subprocess.run(words, check=False, capture_output=True, text=True, cwd=cwd)
    assert done.returncode in accepted, f"{words}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def has_pip(python: Path) -> bool:
    """Whether an interpreter is there and has pip."""
    words = [str(python), "-m", "pip", "--version"]
    return (
        python.exists()
        and not subprocess.run(words, check=False, capture_output=True).returncode
    )


def python_with_pip() -> Path:
    """Interpreter that this environment was made with."""
    version = f"python{sys.version_info.major}.{sys.version_info.minor}"
    for prefix in (sys.base_prefix, sys.prefix):
        if has_pip(python := Path(prefix) / "bin" / version):
            return python
    return pytest.fail("no pip beside the interpreter of this environment")


@pytest.fixture(scope="module")
def pip():
    """First words of a call of pip with the releases of the checks."""
    return python_with_pip(), "-m", "pip", "--disable-pip-version-check"


@pytest.fixture(scope="module")
def wheel(pip, tmp_path_factory):
    """The wheel of this checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    run(*pip, "wheel", "--no-deps", "--wheel-dir", folder, ROOT)
    (built,) = folder.glob("heatslot-*.whl")
    return built


def sources() -> set[str]:
    """Files of both packages, as the checkout has them."""
    return {
        path.relative_to(ROOT).as_posix()
        for package in PACKAGES
        for path in (ROOT / package).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_wheel_holds_both_packages_and_nothing_else(wheel):
    """Every source and data file is in the wheel, and nothing else but metadata."""
    names = set(zipfile.ZipFile(wheel).namelist())
    metadata = {name for name in names if name.split("/")[0].endswith(".dist-info")}
    assert names - metadata == sources()
    assert any(name.endswith("entry_points.txt") for name in metadata)


def test_packages_hold_known_kinds_of_file_only():
    """A kind of file that nobody thought of is no part of a package."""
    kinds = {Path(name).suffix for name in sources()}
    assert kinds <= SHIPPED
    assert {".toml", ".csv", ".typed"} <= kinds


def test_installed_wheel_makes_and_plans_a_day(wheel, pip, tmp_path):
    """In an empty environment, away from the checkout, a new day gets its plan."""
    env, day, out = tmp_path / "env", tmp_path / "day", tmp_path / "out"
    run(pip[0], "-m", "venv", "--without-pip", env)
    run(*pip, "--python", env, "install", "-q", "-c", CONSTRAINTS, wheel, cwd=tmp_path)
    where = "import scheduler, thermal; print(scheduler.__file__, thermal.__file__)"
    for file in run(env / "bin" / "python", "-c", where, cwd=tmp_path).split():
        assert Path(file).is_relative_to(env)
    heatslot = env / "bin" / "heatslot"
    run(heatslot, "new", day, cwd=tmp_path)
    run(heatslot, "plan", day, "--out", out, cwd=tmp_path, accepted=(0, 1))
    plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    assert len(plan["turnarounds"]) > 1
