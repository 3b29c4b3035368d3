"""The beginning of a small boat file, as several tests write one down, and the pigs that lie in most of them."""

from __future__ import annotations

from collections.abc import Mapping

Value = str | float | Mapping[str, "str | float"]


def _toml(value: Value) -> str:
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{k} = {_toml(v)}" for k, v in value.items()) + " }"
    return f"{value:.2f}" if isinstance(value, float) else str(value)


def larch(thickness_mm: int, frame_spacing_mm: int, timber: str = "larch") -> dict[str, str | float]:
    """Planking of a boat."""
    return {"timber": timber, "thickness_mm": thickness_mm, "frame_spacing_mm": frame_spacing_mm}


def head(name: str, **keys: Value) -> str:
    """``schema`` and ``[boat]``, a line for each key in the order given; lengths (floats) with two places."""
    lines = "".join(f"{key} = {_toml(value)}\n" for key, value in {"name": name, **keys}.items())
    return f"schema = 1\n\n[boat]\n{lines}"


def pigs(name: str, **keys: str | bool) -> str:
    """24 kg of lead abaft the mast, with nothing yet to hold it; further keys as they are written."""
    more = "".join(
        f"{key} = {str(value).lower() if isinstance(value, bool) else value}\n" for key, value in keys.items()
    )
    return f"""
[[weight]]
id = "pigs"
name = "{name}"
mass_kg = 24.0
at_m = [3.60, 0.00, -0.32]
size_m = [0.42, 0.20, 0.12]
{more}"""
