"""Every example in the strength room runs, and every published formula has one."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil

import pytest

from secure_load import strength

MODULES = sorted(module.name for module in pkgutil.iter_modules(strength.__path__))
# The modules of published formulas; those that join them to the catalogue need no example of their own.
FORMULAS = (
    "bolts",
    "en1995",
    "lines",
    "nds",
    "pads",
    "slip",
    "timber",
    "units",
    "wood_handbook",
)


@pytest.mark.parametrize("name", MODULES)
def test_examples_run(name: str) -> None:
    module = importlib.import_module(f"secure_load.strength.{name}")
    results = doctest.testmod(module, optionflags=doctest.NORMALIZE_WHITESPACE)
    assert results.failed == 0


@pytest.mark.parametrize("name", FORMULAS)
def test_every_public_function_has_an_example(name: str) -> None:
    module = importlib.import_module(f"secure_load.strength.{name}")
    bare = [
        function_name
        for function_name, function in inspect.getmembers(module, inspect.isfunction)
        if not function_name.startswith("_")
        and function.__module__.startswith("secure_load.strength")
        and ">>>" not in (function.__doc__ or "")
    ]
    assert bare == []
