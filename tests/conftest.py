"""What every test shares: how hard the properties are tried, and the deep tests.

The profile "default" is quick and gives the same examples on every run; "deep" takes minutes and
looks for new ones. ``pytest --deep`` or HYPOTHESIS_PROFILE=deep chooses it, and runs the tests
that are marked deep.
"""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, settings

_SLOW_IS_FINE = [HealthCheck.too_slow, HealthCheck.filter_too_much]

settings.register_profile(
    "default",
    max_examples=25,
    deadline=None,
    derandomize=True,  # the same examples everywhere: a red run can be run again
    database=None,
    suppress_health_check=_SLOW_IS_FINE,
)
settings.register_profile(
    "deep",
    max_examples=400,
    deadline=None,
    derandomize=bool(os.environ.get("CI")),
    print_blob=True,
    suppress_health_check=_SLOW_IS_FINE,
)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option that runs what takes minutes."""
    parser.addoption("--deep", action="store_true", help="run the deep tests as well")


def pytest_configure(config: pytest.Config) -> None:
    """Choose the profile before any test is collected."""
    settings.load_profile("deep" if _is_deep(config) else "default")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave the deep tests out of a quick run."""
    if _is_deep(config):
        return
    skip = pytest.mark.skip(reason="takes minutes; run with --deep")
    for item in items:
        if "deep" in item.keywords:
            item.add_marker(skip)


def _is_deep(config: pytest.Config) -> bool:
    return bool(config.getoption("--deep")) or os.environ.get("HYPOTHESIS_PROFILE") == "deep"
