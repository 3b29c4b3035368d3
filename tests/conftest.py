"""Options of the whole test suite."""

from __future__ import annotations

import pytest
from hypothesis import settings


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--run-speed", action="store_true", default=False, help="run the benchmarks in tests/speed")
    parser.addoption("--run-long", action="store_true", default=False, help="run what takes more than a second or two")
    parser.addoption("--run-slow", action="store_true", default=False, help="run comparisons of many minutes as well")
    parser.addoption("--update-snapshots", action="store_true", default=False, help="keep the screens as they are now")
    parser.addoption("--every-moment", action="store_true", default=False, help="kill the program at 50 moments, not 8")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """The usual run is quick: ``.ci/run`` runs long tests too, benchmarks and comparisons run on request only."""
    for word, what in (("speed", "a benchmark"), ("slow", "many minutes"), ("long", "long")):
        if config.getoption(f"--run-{word}"):
            continue
        skip = pytest.mark.skip(reason=f"{what}: add --run-{word}")
        for item in items:
            if word in item.keywords:
                item.add_marker(skip)


# The same examples every time, so that a run tells of the change at hand; "--hypothesis-profile=wild" draws new ones.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("wild", deadline=None)
settings.load_profile("steady")
