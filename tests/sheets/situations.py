"""Twenty situations that a sheet has to stand: the longest, the emptiest, the strangest."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from observe.look.marks import DecisionLook, LineLook, MarkLook
from observe.look.signs import SignLook
from observe.sheets.content import (
    Advice,
    Countersigner,
    CriticalNote,
    Decision,
    DomainScore,
    Part,
    Revision,
    RuleLine,
    Settling,
    SheetContent,
)
from observe.sheets.setting import Paper
from tests.sheets.samples import (
    LONG_LABEL,
    LONG_NAME,
    excessive,
    fatal,
    longest,
    passed,
    practice,
    remediate,
    scored_of,
    undecided,
    void,
)


def nothing_seen() -> SheetContent:
    """Sealed without a single mark."""
    base = undecided()
    unseen = tuple(
        replace(
            phase,
            steps=tuple(
                replace(
                    step,
                    look=MarkLook.NOT_SEEN,
                    time="",
                    prompt=0,
                    source="",
                    voiced=False,
                    note="",
                )
                for step in phase.steps
            ),
        )
        for phase in base.phases
    )
    every = [step for phase in unseen for step in phase.steps]
    return replace(
        base,
        scored=replace(
            scored_of(base),
            value=None,
            low=Fraction(0),
            high=Fraction(1),
            coverage=Fraction(0),
            unseen=len(every),
            not_applicable=0,
            not_applicable_share=Fraction(0),
        ),
        domains=tuple(
            DomainScore(one.label, None, Fraction(0), Fraction(1), one.minimum, LineLook.OPEN)
            for one in base.domains
        ),
        phases=unseen,
        overall=None if base.overall is None else replace(base.overall, value=None),
        dimensions=(),
        advice=Advice("", ""),
        settling=Settling(
            tuple(f"{step.number} {step.label}" for step in every),
            tuple(f"{step.number} {step.label}" for step in every[:7]),
        ),
        amendments=(),
        earlier=(),
    )


def five_criticals() -> SheetContent:
    """One of each way to end, one on the last step, one without a time."""
    signs = (SignLook.ABSOLUTE, SignLook.RECOVERED, SignLook.AVERTED, SignLook.ABSOLUTE, None)
    words = ("fatal", "noticed and put right", "stopped by a hand", "fatal", "withdrawn")
    return replace(
        fatal(),
        criticals=tuple(
            CriticalNote(
                sign,
                word,
                LONG_LABEL,
                "1:04:11" if place else "",
                "recorded by Professor Wilhelmina Zimmermannsdottir" if place % 2 else "",
                step=29 if place == 4 else 5 * place,
                count=5 if place == 3 else 0,
                fatal_at=5 if place == 3 else 0,
            )
            for place, (sign, word) in enumerate(zip(signs, words, strict=True))
        ),
    )


def named(learner: str, words: str) -> Callable[[], SheetContent]:
    """A sheet of a learner whose observer writes as they do."""

    def made() -> SheetContent:
        base = remediate()
        return replace(
            base,
            occasion=replace(base.occasion, learner=learner, observers=(learner,)),
            advice=replace(base.advice, strength=words, change=words, goal=words),
            signer=replace(base.signer, name=learner),
        )

    return made


def superseded() -> SheetContent:
    return replace(
        remediate(),
        revision=Revision(
            3,
            "revision 2, code 43a8 6664 0c6a",
            "step 8, amended 15:20 by Dr Petra Lindqvale; the decision was signed again",
        ),
    )


def two_observers() -> SheetContent:
    base = remediate()
    names = ("Dr Petra Lindqvale", "Professor Wilhelmina Zimmermannsdottir-Wolfeschlegelstein")
    line = RuleLine(
        LineLook.OPEN,
        "Two observers",
        "One saw a fatal critical item, the other watched throughout and saw none.",
    )
    return replace(
        base,
        occasion=replace(base.occasion, observers=names, mode="summative"),
        decision=Decision(
            DecisionLook.UNDECIDED,
            "Undecided",
            "Two observers differ on what ended the attempt; a third person rules.",
        ),
        lines=(*base.lines, line),
        countersigners=(
            Countersigner(Part.OBSERVED, names[1]),
            Countersigner(Part.DIRECTED),
            Countersigner(Part.READ),
        ),
    )


def countersigned() -> SheetContent:
    base = passed()
    return replace(
        base,
        occasion=replace(base.occasion, mode="summative"),
        countersigners=(Countersigner(Part.DIRECTED), Countersigner(Part.READ)),
    )


def no_decision() -> SheetContent:
    """A second observer is outstanding (rule T2)."""
    base = remediate()
    return replace(
        base,
        decision=Decision(None, "Feedback, no decision yet", "A second observer has not sealed."),
        lines=(),
        scored=replace(scored_of(base), cut=None, is_provisional=False),
    )


def one_step() -> SheetContent:
    base = passed()
    phase = replace(base.phases[0], steps=base.phases[0].steps[:1])
    return replace(base, phases=(phase,), domains=base.domains[:1], deviations=(), dimensions=())


def sixty_steps() -> SheetContent:
    base = passed()
    again = tuple(
        replace(
            phase,
            label=f"{phase.label}, once more",
            steps=tuple(replace(step, number=step.number + 29) for step in phase.steps),
        )
        for phase in base.phases
    )
    return replace(base, phases=base.phases + again)


def all_excused() -> SheetContent:
    """No step applied: there is nothing that a score could rest on."""
    base = nothing_seen()
    excused = tuple(
        replace(
            phase,
            steps=tuple(
                replace(step, look=MarkLook.NOT_APPLICABLE, note="the trainer has none")
                for step in phase.steps
            ),
        )
        for phase in base.phases
    )
    return replace(
        base,
        phases=excused,
        scored=replace(scored_of(base), low=None, high=None, unseen=0, not_applicable=29),
        domains=tuple(replace(one, low=None, high=None) for one in base.domains),
        settling=Settling(),
    )


def long_name() -> SheetContent:
    base = passed()
    return replace(base, occasion=replace(base.occasion, learner=LONG_NAME))


SITUATIONS: dict[str, tuple[Callable[[], SheetContent], Paper]] = {
    "pass": (passed, Paper.A4),
    "remediate": (remediate, Paper.A4),
    "remediate on Letter": (remediate, Paper.LETTER),
    "undecided": (undecided, Paper.A4),
    "practice": (practice, Paper.A4),
    "void": (void, Paper.A4),
    "fatal": (fatal, Paper.A4),
    "five criticals": (five_criticals, Paper.LETTER),
    "longest": (longest, Paper.A4),
    "longest on Letter": (longest, Paper.LETTER),
    "longest name": (long_name, Paper.LETTER),
    "more than two pages": (excessive, Paper.A4),
    "nothing seen": (nothing_seen, Paper.A4),
    "nothing applied": (all_excused, Paper.A4),
    "right to left": (
        named("דוד בן־גוריון (2)", "ידיים יציבות, 3 צעדים קטנים; המשך כך (בבקשה)."),
        Paper.A4,
    ),
    "letters of another script": (named("山田 太郎", "يد ثابتة، خطوات صغيرة 12 مم"), Paper.A4),
    "replaced": (superseded, Paper.A4),
    "two observers": (two_observers, Paper.A4),
    "countersigned": (countersigned, Paper.LETTER),
    "no decision": (no_decision, Paper.A4),
    "one step": (one_step, Paper.A4),
    "sixty steps": (sixty_steps, Paper.A4),
}
