"""The tables as queries name them. `observe.store.upgrade` makes them."""

from __future__ import annotations

from sqlalchemy import Column, Integer, MetaData, Table, Text

metadata = MetaData()

device = Table(
    "device",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("id", Text, nullable=False),
    Column("made_at", Text, nullable=False),
)

form = Table(
    "form",
    metadata,
    Column("digest", Text, primary_key=True),
    Column("scoring", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("source", Text, nullable=False),
)

event = Table(
    "event",
    metadata,
    Column("position", Integer, primary_key=True),
    Column("device", Text, nullable=False),
    Column("seq", Integer, nullable=False),
    Column("kind", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("gesture", Text, nullable=False),
    Column("part", Integer, nullable=False),
    Column("workshop", Text, nullable=False),
    Column("attempt", Text, nullable=False),
    Column("observation", Text, nullable=False),
    Column("by_", Text, nullable=False),
    Column("at", Text, nullable=False),
    Column("monotonic_ns", Integer, nullable=False),
    Column("boot", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("prev", Text, nullable=False),
    Column("hash", Text, nullable=False),
)

beside = Table(
    "beside",
    metadata,
    Column("device", Text, primary_key=True),
    Column("seq", Integer, primary_key=True),
    Column("field", Text, primary_key=True),
    Column("text", Text, nullable=False),
    Column("salt", Text, nullable=False),
)

jump = Table(
    "jump",
    metadata,
    Column("device", Text, primary_key=True),
    Column("seq", Integer, primary_key=True),
    Column("turn", Integer, primary_key=True),
)

stub = Table(
    "stub",
    metadata,
    Column("device", Text, primary_key=True),
    Column("seq", Integer, primary_key=True),
    Column("hash", Text, nullable=False),
)

tail = Table(
    "tail",
    metadata,
    Column("device", Text, primary_key=True),
    Column("seq", Integer, primary_key=True),
    Column("hash", Text, primary_key=True),
    Column("line", Text, nullable=False),
    Column("texts", Text, nullable=False),
)
