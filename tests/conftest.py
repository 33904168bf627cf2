"""What every test shares: the three profiles, and how hard the properties are tried in each.

quick   what the README's command runs, under four minutes on two cores
ci      what ``.ci/run`` runs (``CI=true``): the tests marked deep as well, and more examples
deep    new examples from a seed, by ``python tests/deep.py FIRST LAST``

``pytest --profile NAME`` chooses one. In quick and ci the same examples are tried on every run,
in whichever order and on however many workers: a red run can be run again.
"""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, settings
from hypothesis.internal.conjecture import providers

#: Examples of a property in each profile; a test's own number is raised alike (see `effort`).
_EXAMPLES = {"quick": 25, "ci": 50, "deep": 100}

for _name, _count in _EXAMPLES.items():
    settings.register_profile(
        _name,
        max_examples=_count,
        deadline=None,
        derandomize=_name != "deep",
        database=None,
        print_blob=True,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
    )

# Numbers that stand in the program's own modules are tried too, in those that a worker happens to
# have loaded: examples would hang on the order of the tests.
if hasattr(providers, "is_local_module_file"):
    providers.is_local_module_file = lambda path: False


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option that says how hard to try."""
    parser.addoption("--profile", choices=sorted(_EXAMPLES), help="quick, ci or deep")


def pytest_configure(config: pytest.Config) -> None:
    """Choose the profile before any test is collected."""
    settings.load_profile(_profile(config))


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave what takes minutes out of a quick run, and what draws no examples out of a deep one."""
    profile = _profile(config)
    for item in items:
        if profile == "quick" and "deep" in item.keywords:
            item.add_marker(pytest.mark.skip(reason="takes minutes; run with --profile ci"))
    if profile == "deep":
        drawn = [item for item in items if _draws_examples(item)]
        config.hook.pytest_deselected(items=[item for item in items if not _draws_examples(item)])
        items[:] = drawn


def _profile(config: pytest.Config) -> str:
    usual = "ci" if os.environ.get("CI", "").lower() == "true" else "quick"
    return str(config.getoption("--profile") or usual)


def _draws_examples(item: pytest.Item) -> bool:
    return bool(getattr(getattr(item, "obj", None), "is_hypothesis_test", False))
