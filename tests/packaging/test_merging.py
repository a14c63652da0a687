"""The measurement of merging runs, and measures what it says."""

from __future__ import annotations

from pathlib import Path

import merging


def test_a_small_packet_is_taken_in_whole_and_once(tmp_path: Path) -> None:
    merging.packet(tmp_path / "400.packet", 400)
    found = merging.measured(tmp_path, 400)
    assert found["events"] == 400
    assert found["per_second"] > 0
    assert found["peak_mb"] >= found["before_mb"]
