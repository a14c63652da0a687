"""The record of a report gives back what it was written from, and nothing else is one."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.canonical import canonical
from observe.domain.troubles import BadInput
from observe.sheets import record
from observe.sheets.report_record import is_report, read, written
from tests.sheets.reports import short
from tests.sheets.samples import remediate


def test_a_record_gives_back_the_report() -> None:
    kept = written(short())
    assert read(kept) == short()
    assert canonical(json.loads(kept)) == kept
    assert is_report(kept)
    assert not is_report(record.written(remediate()))


@given(st.binary(max_size=60) | st.sampled_from([b"{}", b'{"report":1,"format":1}', b"[1]"]))
def test_anything_else_is_refused(kept: bytes) -> None:
    with pytest.raises(BadInput):
        read(kept)


def test_another_order_of_keys_is_no_record() -> None:
    loose = json.dumps(json.loads(written(short())), indent=1).encode()
    with pytest.raises(BadInput):
        read(loose)
