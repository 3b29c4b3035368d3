"""Stopping a calculation whose answer is not wanted any more.

The caller sets a condition with ``cancel_when``; the solver asks for it once in every round of its iterations.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from contextlib import contextmanager
from contextvars import ContextVar


class Cancelled(BaseException):
    """The calculation was stopped. As ``asyncio.CancelledError``, no Exception: nothing may take it for a fault."""


def _never() -> bool:
    return False


_requested: ContextVar[Callable[[], bool]] = ContextVar("cancellation_requested", default=_never)


@contextmanager
def cancel_when(requested: Callable[[], bool]) -> Generator[None]:
    """Within this block, in this thread, calculations raise ``Cancelled`` soon after ``requested()`` comes true."""
    token = _requested.set(requested)
    try:
        yield
    finally:
        _requested.reset(token)


def raise_if_cancelled() -> None:
    """Raises ``Cancelled`` where that was asked for."""
    if _requested.get()():
        raise Cancelled
