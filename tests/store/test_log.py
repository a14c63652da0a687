"""Rules E1 and E4 of the log: append, repeat, read back, texts beside, forms."""

from pathlib import Path

from observe.domain.events import Draft, Stamp
from observe.store.log import Log

STAMP = Stamp("2026-11-25T09:00:00.123+00:00", 1_000, "boot")


def test_what_is_appended_is_what_is_read(tmp_path: Path) -> None:
    with Log.open(tmp_path / "a.observe", create=True) as log:
        made = log.append(
            (Draft("person-named", {"person": "p1"}, texts={"name": "Ana"}), Draft("sealed")),
            gesture="g1",
            stamp=STAMP,
            salts=lambda: "salt",
        )
        assert log.read() == list(made)
        assert log.texts(made) == {(made[0].id, "name"): "Ana"}
