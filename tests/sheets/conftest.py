from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from observe.sheets.content import SheetContent
from observe.sheets.sign import issue
from observe.trust.keys import Key, make, opened
from tests.sheets.samples import remediate

AT = datetime(2026, 3, 14, 14, 31, tzinfo=UTC)


@pytest.fixture(scope="session")
def at() -> datetime:
    return AT


@pytest.fixture(scope="session")
def key() -> Key:
    return opened(make("Dr Petra Lindqvale", AT))


@pytest.fixture(scope="session")
def signed(key: Key) -> Callable[[SheetContent], bytes]:
    """A signed sheet; each content is signed once in a run."""
    kept: dict[SheetContent, bytes] = {}

    def made(content: SheetContent) -> bytes:
        if content not in kept:
            kept[content] = issue(content, key, AT)
        return kept[content]

    return made


@pytest.fixture(scope="session")
def renamed() -> Callable[[str], SheetContent]:
    """A sheet of a learner of another name."""

    def made(learner: str) -> SheetContent:
        content = remediate()
        return replace(content, occasion=replace(content.occasion, learner=learner))

    return made
