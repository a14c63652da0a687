"""One afternoon at the table as data: what is done for whom, in order; not by which press."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

SEATED = (
    "Amara Voss",
    "Idris Kalnin",
    "Lucía Marrek",
    "Tove Halden",
    "Ravi Senapathi",
    "Mina Oduya",
    "Pascal Orrin",
    "Hanae Toma",
)
AMARA, IDRIS, LUCIA, TOVE, RAVI, MINA, PASCAL, HANAE = SEATED
NOOR = "Noor Idowu"
"""Was not planned, and comes late."""

FORM, VARIANT = "lumbar-puncture-adult", "side-lying"
STEPS = tuple(f"LPX-{number:02}{'L' if number == 6 else ''}" for number in range(1, 32))
"""The steps of the variant as people count them: step 1 is the first."""


@dataclass(frozen=True, slots=True)
class Act:
    """One thing that is done. who: a learner; step: as people count; more: what else is said."""

    deed: str
    who: str = ""
    step: int = 0
    more: tuple[str, ...] = ()

    def __str__(self) -> str:
        said = (self.deed, self.who, f"step {self.step}" if self.step else "", *self.more)
        return ", ".join(part for part in said if part)


def row(who: str, first: int, codes: str) -> list[Act]:
    """What is seen of one learner, step after step.

    D done, 1-4 done after a prompt of that level, I incorrect, N not done, V voiced,
    A not applicable with the form's reason, X did not arise, U not seen and go on.
    """
    return [Act("mark", who, first + place, (code,)) for place, code in enumerate(codes)]


def table(first: int, **rows: str) -> Iterator[Act]:
    """Several learners side by side, as they work: step by step, seat by seat."""
    names = {one.split()[0].replace("í", "i"): one for one in (*SEATED, NOOR)}
    marks = [row(names[name], first, codes) for name, codes in rows.items()]
    for place in range(max(map(len, marks))):
        for learner in marks:
            if place < len(learner):
                yield learner[place]


def morning() -> Iterator[Act]:
    """Until the tablet dies."""
    yield Act("not here", HANAE)
    yield from table(
        1, Amara="VD12", Idris="DD2D", Lucia="DNDI", Tove="3DVD", Ravi="DU4D", Mina="DDDD"
    )
    yield Act("arrived", HANAE)
    yield from table(1, Pascal="ID1V", Hanae="DDUD")
    yield Act("look", AMARA)
    yield Act("critical", IDRIS)  # from another seat
    yield Act("name", IDRIS, more=("LPX-C2",))
    yield Act("judge", IDRIS, more=("recovered",))
    yield from table(5, Amara="D4D", Idris="DD1", Lucia="ID2", Tove="DDD", Mina="2DD", Pascal="DDN")
    yield from table(5, Ravi="D", Hanae="DDD")
    yield Act("order", RAVI, 5)  # consent was not seen before the kit
    yield from table(6, Ravi="DD")
    yield Act("mark", TOVE, 8, ("I",))
    yield Act("take back", TOVE)
    yield from table(8, Amara="D", Idris="3", Lucia="D", Tove="D", Ravi="1", Mina="D", Pascal="D")
    yield Act("mark", HANAE, 8, ("N",))
    yield Act("take back", HANAE)
    yield Act("put back", HANAE)
    yield Act("swap", AMARA, more=(MINA,))
    yield Act("pause", LUCIA)
    yield Act("go on", LUCIA)
    yield Act("together", step=9, more=("D", PASCAL))
    yield Act("mark", PASCAL, 9, ("I",))
    yield Act("now here", PASCAL, 12)
    yield from table(10, Idris="D2")
    yield Act("wrong learner", IDRIS, more=("2", MINA))
    yield from table(10, Amara="DDDDD", Idris="1DDDI", Lucia="DD2DD", Tove="UDDDD", Ravi="DDDD3")
    yield from table(12, Mina="DVD", Pascal="DDD")
    yield from table(10, Hanae="D1DDD")
    yield Act("visit", IDRIS, 3)
    yield Act("mark", IDRIS, 3, ("D",))  # the prompt of before stands (M2)


def afternoon() -> Iterator[Act]:
    """After it was opened again."""
    yield Act("note", AMARA, more=("Left-handed; the tray was turned",))
    yield Act("phrase", IDRIS, 3)
    yield Act("stop", TOVE)
    yield Act("lift", TOVE)
    yield Act("pause all")
    yield Act("all go on")
    both = "DDADXX"
    yield from table(15, Amara=both, Idris="DIADXX", Lucia="2DADDX", Tove="DDDDXX", Ravi=both)
    yield from table(15, Mina="D3ADXX", Pascal="DDD1D2", Hanae="DDADXX")
    for item, verdict in (("LPX-C8", ""), ("LPX-C4", "averted")):
        yield Act("look", MINA)
        yield Act("critical", PASCAL)
        yield Act("name", PASCAL, more=(item,))
        if verdict:
            yield Act("judge", PASCAL, more=(verdict,))
    yield Act("critical", LUCIA)
    yield Act("take back", LUCIA)
    yield from table(
        21, Amara="DDDDDDDDDDD", Idris="D1DDD", Lucia="DDIDD", Tove="DDDD", Ravi="DD4D"
    )
    yield from table(21, Mina="D2DD", Pascal="NDDD", Hanae="DDDD")
    yield Act("stop", RAVI)
    yield Act("void", RAVI, more=("The learner is unwell",))
    yield Act("late learner", NOOR)
    yield from table(1, Noor="DDD2DD")
    yield Act("time is up", HANAE)
    for who, grade in ((AMARA, "4"), (HANAE, "2")):
        yield Act("rate and seal", who, more=(grade, "Steady hands", "Slower at the second drape"))


def evening() -> Iterator[Act]:
    """The second observer goes on."""
    yield Act("hand over")
    yield from table(26, Idris="D", Lucia="D")
    yield from table(25, Tove="D1", Mina="DI", Pascal="ND")
    yield from table(7, Noor="DD3")


SCRIPT = (*morning(), Act("crash"), *afternoon(), *evening())
