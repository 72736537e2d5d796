"""What the package exports, and what importing it costs."""

import subprocess
import sys
from importlib.util import find_spec

import pytest

import thermal

LIGHT = "import sys, thermal; sys.exit(bool({'numpy', 'scipy'} & set(sys.modules)))"


def test_every_public_name_is_there_and_no_other_is_listed() -> None:
    """The sorted list of names is what `dir` shows, and each of them loads."""
    assert sorted(thermal.__all__) == thermal.__all__
    assert dir(thermal) == thermal.__all__
    for name in thermal.__all__:
        assert getattr(thermal, name).__name__ == name


def test_public_names_hide_no_module() -> None:
    """No name is also a module's, or it would change with the order of imports."""
    for name in thermal.__all__:
        assert find_spec(f"thermal.{name}") is None


def test_importing_the_package_loads_no_numerics() -> None:
    """A program that only shows its help does not wait for numpy or scipy."""
    done = subprocess.run([sys.executable, "-c", LIGHT], check=False)
    assert done.returncode == 0


def test_unknown_name_is_an_attribute_error() -> None:
    """A misspelt name fails as in any module."""
    with pytest.raises(AttributeError, match="no attribute 'cools'"):
        _ = thermal.cools
