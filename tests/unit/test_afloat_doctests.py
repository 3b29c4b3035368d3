"""Every example in the docstrings of the afloat room, run."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import secure_load.afloat

MODULES = sorted(m.name for m in pkgutil.iter_modules(secure_load.afloat.__path__))


@pytest.mark.parametrize("name", MODULES)
def test_examples_hold(name: str) -> None:
    module = importlib.import_module(f"secure_load.afloat.{name}")
    assert module.__doc__
    assert doctest.testmod(module).failed == 0


def test_formulas_all_have_an_example() -> None:
    module = importlib.import_module("secure_load.afloat.formulas")
    without = [
        name
        for name, thing in vars(module).items()
        if callable(thing)
        and getattr(thing, "__module__", "") == module.__name__
        and ">>>" not in (thing.__doc__ or "")
    ]
    assert without == []
