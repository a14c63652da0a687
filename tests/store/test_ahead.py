"""Reading ahead changes nothing of what is read."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from observe.store.ahead import ahead


def test_pieces_come_in_their_order() -> None:
    assert [*ahead(iter(range(1, 100)))] == [*range(1, 100)]
    assert [*ahead(iter([]))] == []


def test_what_is_raised_is_raised_in_its_place() -> None:
    def broken() -> Iterator[int]:
        yield 1
        raise ZeroDivisionError

    pieces = ahead(broken())
    assert next(pieces) == 1
    with pytest.raises(ZeroDivisionError):
        next(pieces)


def test_whoever_reads_may_stop(recwarn: pytest.WarningsRecorder) -> None:
    pieces = ahead(iter(range(1, 1000)))
    assert next(pieces) == 1
    pieces.close()  # type: ignore[attr-defined]  # a generator
    assert not recwarn
