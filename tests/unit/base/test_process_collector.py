"""The collector at rest: switched back on, nothing changed inside another, and no circle left behind for ever."""

from __future__ import annotations

import gc
import weakref

import pytest

from airwrit.base.process import paused, resting


class Circle:
    """A value that points at itself."""

    def __init__(self) -> None:
        self.me = self


def test_it_rests_and_goes_on() -> None:
    with resting():
        assert not gc.isenabled()
        with resting():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()


def test_a_pause_leaves_it_as_it_was() -> None:
    with paused():
        with paused():
            pass
        assert not gc.isenabled()
    assert gc.isenabled()
    with pytest.raises(ValueError, match="bad"), paused():
        raise ValueError("bad")
    assert gc.isenabled()


def test_it_goes_on_after_a_fault() -> None:
    with pytest.raises(ValueError, match="bad"), resting():
        raise ValueError("bad")
    assert gc.isenabled()


def test_a_circle_left_between_two_rests_goes() -> None:
    with resting():
        pass
    left = weakref.ref(Circle())
    with resting():
        pass
    assert left() is None
