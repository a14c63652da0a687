from datetime import UTC, datetime

import pytest


@pytest.fixture(scope="session")
def at() -> datetime:
    return datetime(2026, 3, 14, 14, 31, tzinfo=UTC)
