"""How fast packets are taken in: events a second and peak memory, by the size of the packet.

Runs inside the program's environment: .venv/bin/python packaging/merging.py [EVENTS ...]
Each size runs in a process of its own, so that its peak is its own.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

SIZES = (10_000, 100_000, 1_000_000)
GOAL = 50_000
"""Events a second."""
DEVICES = 4
MB = 1 << 10
"""The system tells the peak in KiB."""


def lines(events: int) -> Iterator[bytes]:
    """The lines of a packet with so many marks, written on several machines."""
    from observe.domain.events import FIRST, Draft, Stamp, sealed_event
    from observe.store.packet.lines import event_line

    for device in range(DEVICES):
        prev = FIRST
        for seq in range(1, events // DEVICES + 1):
            event = sealed_event(
                Draft(
                    "mark-set",
                    {"step": f"s{seq % 60}", "mark": {"state": "done", "prompt": 0}},
                    workshop="w",
                    attempt=f"a-{seq // 60 % 12}",
                    observation=f"o-{device}-{seq // 60 % 12}",
                    by=f"o{device}",
                ),
                device=f"device-{device}",
                seq=seq,
                prev=prev,
                gesture=f"{device}-{seq}",
                part=1,
                stamp=Stamp("2026-03-02T09:00:00.000+00:00", seq, "boot"),
                commitments={},
            )
            prev = event.hash
            yield event_line(event)


def packet(path: Path, events: int) -> None:
    """Write a signed packet of so many events."""
    from datetime import UTC, datetime

    from observe.store.packet.container import write
    from observe.store.packet.manifest import Manifest
    from observe.trust.keys import make, opened
    from observe.trust.signature import sign

    key = opened(make("Bench", datetime(2026, 3, 1, tzinfo=UTC)))
    manifest = Manifest(
        kind="record",
        workshops=("w",),
        scope="workshop",
        of="",
        made_at="2026-03-02T09:00:00.000+00:00",
        by="o1",
        name="Bench",
        device="device-0",
        withheld=0,
    )
    write(
        path,
        manifest,
        lines(events),
        {},
        lambda payload: sign(payload, key.private, [key.certificate]),
    )


def measured(folder: Path, events: int) -> dict[str, Any]:
    """Take a packet in twice: what the first and the second time took."""
    from observe.work.logbooks import open_logbook
    from observe.work.merging import merge

    path = folder / f"{events}.packet"
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with open_logbook(folder / f"{events}.observe", create=True) as logbook:
        started = time.perf_counter()
        told = merge(logbook, path)
        first = time.perf_counter() - started
        started = time.perf_counter()
        merge(logbook, path)
        again = time.perf_counter() - started
    return {
        "events": told.intake.events,
        "seconds": round(first, 2),
        "per_second": round(told.intake.events / first),
        "again_per_second": round(told.intake.events / again),
        "before_mb": round(before / MB),
        "peak_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / MB),
    }


def main(arguments: list[str]) -> int:
    """Measure each size; returns 0."""
    if arguments[:1] == ["--one"]:
        print(json.dumps(measured(Path(arguments[1]), int(arguments[2]))))
        return 0
    print(f"goal: {GOAL} events a second, alike for every size; memory flat")
    with tempfile.TemporaryDirectory() as folder:
        for events in [int(one) for one in arguments] or SIZES:
            packet(Path(folder) / f"{events}.packet", events)
            command = [sys.executable, __file__, "--one", folder, str(events)]
            done = subprocess.run(command, check=True, capture_output=True, text=True)
            found = json.loads(done.stdout)
            print("  ".join(f"{name} {value}" for name, value in found.items()))
    return 0


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
    sys.exit(main(sys.argv[1:]))
