"""Invented sheets for tests: one of each kind, and the longest there can be."""

from dataclasses import replace
from fractions import Fraction

from observe.look.marks import DecisionLook, LineLook, MarkLook
from observe.look.signs import SignLook
from observe.sheets.content import (
    Advice,
    CriticalNote,
    Decision,
    Deviation,
    DomainScore,
    GradeNote,
    Kept,
    Occasion,
    Origin,
    PhaseNotes,
    Revision,
    RuleLine,
    Scored,
    Settling,
    SheetContent,
    Signer,
    StandardNote,
    StepNote,
    WorkOn,
)

LABELS = (
    ("Communication", ("Introduces self and confirms identity", "Obtains consent, names risks")),
    (
        "Preparation",
        (
            "Checks bleeding risk, pressure signs, skin, allergy",
            "Records leg function and pain baseline",
            "Checks kit: needle type, stylet moves, tubes, tap",
        ),
    ),
    (
        "Position and landmarks",
        (
            "Positions: side-lying, curled, back at edge, upright",
            "Tells helper how to hold and what to watch",
            "Palpates crests and names the interspace",
        ),
    ),
    (
        "Asepsis",
        (
            "Hand hygiene; cap, mask, sterile gloves on",
            "Prepares skin in a wide field, lets it dry",
            "Drapes with window over the mark",
        ),
    ),
    (
        "Anaesthetic",
        ("Draws up, names agent, dose and maximum", "Infiltrates, aspirates, waits"),
    ),
    (
        "Needle",
        (
            "Enters midline with stylet in place",
            "Aims slightly to the head, level with the floor",
            "Cutting needle: bevel along the spine axis",
            "Advances in small steps and checks for fluid",
            "Bone: draws back to under skin, then redirects",
            "Leg pain: stops, draws back, asks side",
            "Recognises fluid; keeps needle steady",
        ),
    ),
    (
        "Pressure and samples",
        (
            "Connects manometer at once, legs eased, reads",
            "Collects by dripping into tubes in number order",
            "Takes enough, names volume and tests per tube",
            "Puts the stylet back before taking needle out",
        ),
    ),
    (
        "Closing",
        (
            "Presses briefly and applies sterile plaster",
            "Puts sharps away by own hand, counts",
            "Labels tubes at the bedside with identity",
            "Rechecks legs and comfort; position free",
            "Gives aftercare and warning signs",
            "Records level, needle, attempts, pressure",
        ),
    ),
)
SPECIAL = {
    4: (MarkLook.NOT_SEEN, 0),
    5: (MarkLook.INCORRECT, 1),
    7: (MarkLook.NOT_DONE, 0),
    8: (MarkLook.INCORRECT, 0),
    12: (MarkLook.PROMPT_1, 1),
    16: (MarkLook.NOT_APPLICABLE, 0),
    18: (MarkLook.PROMPT_2, 2),
    19: (MarkLook.DID_NOT_ARISE, 0),
    29: (MarkLook.PROMPT_3, 3),
}
UNTIMED = {MarkLook.NOT_SEEN, MarkLook.NOT_APPLICABLE, MarkLook.DID_NOT_ARISE}


def phases() -> tuple[PhaseNotes, ...]:
    made: list[PhaseNotes] = []
    number = 0
    for phase, labels in LABELS:
        steps: list[StepNote] = []
        for label in labels:
            number += 1
            look, prompt = SPECIAL.get(number, (MarkLook.DONE, 0))
            steps.append(
                StepNote(
                    number,
                    label,
                    look,
                    "" if look in UNTIMED else f"14:{4 + number * 4 // 5:02}",
                    prompt,
                    "assistant" if number == 18 else "observer" if prompt else "",
                    voiced=number == 2,
                    weight=Fraction(1 + number % 3),
                    note="round needle today" if look is MarkLook.NOT_APPLICABLE else "",
                )
            )
        made.append(PhaseNotes(phase, tuple(steps)))
    return tuple(made)


def remediate() -> SheetContent:
    return SheetContent(
        occasion=Occasion(
            learner="Ravi Senapathi",
            procedure="Adult lumbar puncture",
            variant="side-lying, with opening pressure",
            date="14 March 2026",
            start="14:05",
            end="14:32",
            ordinal="second attempt",
            mode="formative",
            place="Tarn Valley Teaching Hospital",
            observers=("Dr Petra Lindqvale",),
            attempt="01965a7e",
        ),
        decision=Decision(
            DecisionLook.REMEDIATE,
            "Remediate",
            "One line of the rule failed: preparation. The steps in it that cost most are 5 and 8.",
        ),
        lines=(
            RuleLine(LineLook.MET, "Critical items", "None fatal. One lapse, put right by you."),
            RuleLine(LineLook.MET, "Essential steps", "All 4 done with at most one question."),
            RuleLine(LineLook.MET, "Enough was seen", "96.9 % of the weight seen, 75 % needed."),
            RuleLine(LineLook.FAILED, "Each domain", "Preparation 58.3 %, at least 70 % needed."),
            RuleLine(LineLook.MET, "Score", "84.9 %, cut 78.0 %."),
            RuleLine(LineLook.NOT_ASKED, "Time", "No limit in this form."),
        ),
        scored=Scored(
            value=Fraction(849, 1000),
            low=Fraction(823, 1000),
            high=Fraction(854, 1000),
            cut=Fraction(78, 100),
            is_provisional=True,
            coverage=Fraction(969, 1000),
            unseen=1,
            not_applicable=1,
            not_applicable_share=Fraction(1, 62),
        ),
        standard=None,
        domains=(
            _domain("Preparation", (58, 55, 60), 70, LineLook.FAILED),
            _domain("Asepsis", (100, 100, 100), 70),
            _domain("Technique", (91, 91, 91), 70),
            _domain("Device handling", (100, 100, 100), 60),
            _domain("Communication", (64, 64, 64), 60),
            _domain("Closing", (100, 83, 100), 60),
        ),
        critical_items=8,
        criticals=(
            CriticalNote(
                SignLook.RECOVERED,
                "put right by you",
                "Breaks asepsis and goes on",
                "14:11",
                "Glove touched the cuff; said so and changed it within 10 s.",
                step=9,
            ),
        ),
        unwatched=(),
        phases=phases(),
        overall=GradeNote(
            "Overall grade",
            3,
            5,
            "Competent with help near",
            "Completes the procedure safely; needs a question or a cue at one or two points.",
        ),
        dimensions=(
            GradeNote("Preparation", 2, 5, "Borderline", is_borderline=True),
            GradeNote("Asepsis", 4, 5, "Good"),
            GradeNote("Technique", 4, 5, "Good"),
            GradeNote("Recognising trouble", None, 5, ""),
        ),
        independence="prompted at points",
        advice=Advice(
            strength="Small steps with the needle: two hands, stylet back in before each move.",
            change="Count before you mark: find both crests, say “crest line, L4”, count aloud.",
            strength_step=17,
            kept=(
                Kept(9, "Hand hygiene; cap, mask, sterile gloves on", MarkLook.DONE, "done alone"),
                Kept(11, "Drapes with window over the mark", MarkLook.DONE, "done alone at 14:12"),
            ),
            work_on=(
                WorkOn(
                    8,
                    "Palpates crests and names the interspace",
                    MarkLook.INCORRECT,
                    "Finds both crests, says the crest line aloud, counts, marks L3/4 or L4/5.",
                    ("One crest only", "Names a space without counting"),
                    "incorrect, prompt 1 (asked)",
                ),
                WorkOn(
                    5,
                    "Checks kit: needle type, stylet moves, tubes, tap",
                    MarkLook.INCORRECT,
                    "Moves the stylet, joins manometer and tap, turns it once, lays it open.",
                    ("Tap found closed at the needle",),
                ),
            ),
            next_step="Two 20-minute practices on landmarks and kit with a peer. Then again:",
            next_when="Thursday 26 March, 10:00, skills room 2",
            goal="I will count aloud from the crest line and turn the tap before gloving.",
        ),
        settling=Settling(),
        deviations=(
            Deviation(
                13, "Infiltrates, aspirates, waits", "voiced today", "trainer skin is reused"
            ),
        ),
        amendments=(
            (
                "Step 8 at 15:20 by Dr Petra Lindqvale: not done became incorrect."
                " “Palpated, but named L2/3; I had pressed the wrong key.”"
            ),
        ),
        cautions=(
            (
                "Educational template for a task trainer. It is not a clinical protocol and not a"
                " licence to practise."
            ),
            "Local protocol, the current drug and device label and a licensed supervisor prevail.",
        ),
        disagree=(
            "Write to the course office by 11 April 2026. You may see every event behind this"
            " sheet, and a written answer is kept with it."
        ),
        earlier=("12 January 2026, formative: remediate.",),
        origin=Origin("LPX", "1.0", "7c41e09a52d8" * 5 + "0000", "9f3b2c70" * 8, "0.1.0"),
        signer=Signer(
            "Dr Petra Lindqvale",
            "faculty observer",
            "14 March 2026, 15:31",
            "the observer's personal key, not confirmed by a department",
            "ab" * 32,
        ),
    )


def _domain(
    label: str, value_low_high: tuple[int, int, int], minimum: int, look: LineLook = LineLook.MET
) -> DomainScore:
    value, low, high = (Fraction(number, 100) for number in value_low_high)
    return DomainScore(label, value, low, high, Fraction(minimum, 100), look)


def scored_of(content: SheetContent) -> Scored:
    """The score of a sheet that has one."""
    assert content.scored is not None
    return content.scored


def passed() -> SheetContent:
    base = remediate()
    return replace(
        base,
        occasion=replace(base.occasion, learner="Lucía Marrek", ordinal="first attempt"),
        decision=Decision(DecisionLook.PASS, "Pass", "Every line of the rule is met."),
        lines=tuple(
            replace(line, look=LineLook.MET) if line.look is LineLook.FAILED else line
            for line in base.lines
        ),
        domains=tuple(replace(one, look=LineLook.MET) for one in base.domains),
        scored=replace(
            scored_of(base),
            is_provisional=False,
            error=Fraction(31, 1000),
            error_basis="from 14 attempts that two observers saw",
        ),
        standard=StandardNote(
            "Angoff, mean",
            "8 judges",
            Fraction(21, 1000),
            "1 March 2026",
            "It is what these judges expect of a borderline learner, not a measurement of learners;"
            " another panel may come to another cut.",
        ),
        advice=Advice(
            strength=base.advice.strength, change=base.advice.change, kept=base.advice.kept
        ),
        amendments=(),
        criticals=(),
    )


def undecided() -> SheetContent:
    base = remediate()
    return replace(
        base,
        occasion=replace(base.occasion, learner="Idris Kalnin"),
        decision=Decision(
            DecisionLook.UNDECIDED,
            "Undecided",
            "Too little was seen to decide: 64.0 % of the weight, 75 % needed.",
        ),
        lines=(
            RuleLine(LineLook.OPEN, "Critical items", "2 of 8 were not watched throughout."),
            RuleLine(LineLook.OPEN, "Enough was seen", "64.0 % of the weight seen, 75 % needed."),
            RuleLine(LineLook.OPEN, "Score", "82.1 % of what was seen; the cut is 78.0 %."),
        ),
        scored=replace(
            scored_of(base),
            value=Fraction(821, 1000),
            low=Fraction(525, 1000),
            high=Fraction(885, 1000),
            coverage=Fraction(64, 100),
            unseen=9,
        ),
        domains=(
            *base.domains[1:],
            DomainScore(
                "Closing",
                None,
                0 * scored_of(base).coverage,
                Fraction(1),
                Fraction(6, 10),
                LineLook.OPEN,
            ),
        ),
        unwatched=("Leaves a sharp in the field", "Takes the needle out without the stylet"),
        settling=Settling(
            to_pass=("17 Advances in small steps and checks for fluid", "22 Collects by dripping"),
            to_remediate=("9 Hand hygiene; cap, mask, sterile gloves on",),
        ),
        criticals=(),
    )


def practice() -> SheetContent:
    base = passed()
    return replace(
        base,
        occasion=replace(base.occasion, mode="practice", learner="Tove Halden"),
        decision=Decision(
            None, "Practice, no decision", "Practice is for you; nothing is decided."
        ),
        lines=(),
        scored=replace(scored_of(base), cut=None, is_provisional=False),
    )


def void() -> SheetContent:
    base = passed()
    return replace(
        base,
        occasion=replace(base.occasion, learner="Pascal Orrin"),
        decision=Decision(
            DecisionLook.VOID,
            "Void",
            "The trainer broke at 14:12. This does not count as an attempt.",
        ),
        lines=(),
        scored=None,
        standard=None,
        domains=(),
        overall=None,
        dimensions=(),
        independence="",
        revision=Revision(2, "revision 1, 9f3b2c70aa11"),
    )


def fatal() -> SheetContent:
    base = remediate()
    return replace(
        base,
        occasion=replace(base.occasion, learner="Mina Oduya", mode="summative"),
        decision=Decision(
            DecisionLook.REMEDIATE,
            "Remediate",
            "A critical item was fatal: needle through the dura twice.",
        ),
        criticals=(
            CriticalNote(
                SignLook.ABSOLUTE,
                "fatal",
                "Takes the needle out without the stylet",
                "14:27",
                "Needle out in one pull, stylet on the tray.",
                step=23,
            ),
            CriticalNote(
                SignLook.AVERTED,
                "stopped by a hand",
                "Passes a sharp hand to hand",
                "14:29",
                step=25,
            ),
            CriticalNote(
                SignLook.ABSOLUTE,
                "fatal",
                "More than four needle passes",
                "14:22",
                step=17,
                count=3,
                fatal_at=3,
            ),
            CriticalNote(
                None,
                "withdrawn",
                "Breaks asepsis and goes on",
                "14:11",
                "Seen again on the learner's request: the glove had been changed.",
            ),
        ),
    )


LONG_LABEL = "Palpates both iliac crests, names the interspace, then marks"
LONG_TEXT = (
    "Finds both crests with flat hands, says the crest line aloud, counts down, names the space"
    " and marks it well."
)
LONG_WORDS = (
    "Two hands on the needle, small steps, stylet back in before each move, every single time;"
    " the assistant was told each next thing before it was needed, and the patient was spoken to"
    " by name throughout. Keep the slow pace at the skin as well, please."
)
LONG_NAME = "Wolfeschlegelsteinhausenbergerdorffwelche Maximiliana-Wilhelmina Zimmermannsdotti"


def longest() -> SheetContent:
    """Everything at its usual limit: 80-letter name, 60-letter labels, 35 steps, 6 criticals."""
    base = remediate()
    looks = [look for look in MarkLook if look not in {MarkLook.AHEAD, MarkLook.NOW}]
    steps = tuple(
        StepNote(
            number,
            LONG_LABEL,
            looks[number % len(looks)],
            f"14:{number:02}",
            number % 5 if looks[number % len(looks)] is MarkLook.INCORRECT else 0,
            voiced=number % 7 == 0,
        )
        for number in range(1, 36)
    )
    return replace(
        base,
        occasion=replace(
            base.occasion,
            learner=LONG_NAME[:80],
            procedure="Ultrasound-guided placement of a peripheral venous catheter",
            variant="Side-lying, with opening pressure and the longer manometer",
            place="The Very Long Named Teaching Hospital of the Upper and Lower Valleys of Tarn",
            observers=("Professor Wilhelmina Zimmermannsdottir-Wolfeschlegelstein",) * 2,
        ),
        decision=Decision(
            DecisionLook.REMEDIATE,
            "Remediate so far",
            "Three things stand between you and a pass: each domain, essential steps and the score"
            " (steps 3, 8, 13, 18, 23, 28 and 33).",
        ),
        lines=tuple(RuleLine(LineLook.FAILED, "Two observers", LONG_TEXT[:90]) for _ in range(7)),
        domains=tuple(
            _domain("Device handling and manometer", (58, 40, 90), 70, LineLook.FAILED)
            for _ in range(7)
        ),
        criticals=tuple(
            CriticalNote(SignLook.AVERTED, "stopped by a hand", LONG_LABEL, "1:14:11", step=number)
            for number in range(20, 26)
        ),
        phases=tuple(
            PhaseNotes(
                f"Phase {number + 1}, position and landmarks", steps[number * 5 : number * 5 + 5]
            )
            for number in range(7)
        ),
        dimensions=tuple(
            GradeNote("Recognising trouble", 3, 5, "Competent with help near") for _ in range(7)
        ),
        advice=Advice(
            strength=LONG_WORDS,
            change=LONG_WORDS,
            work_on=tuple(
                WorkOn(number, LONG_LABEL, MarkLook.INCORRECT, LONG_TEXT, ("Names no space",) * 3)
                for number in range(1, 3)
            ),
            kept=tuple(Kept(n, LONG_LABEL, MarkLook.DONE, "done alone at 1:14:11") for n in (7, 8)),
            next_step="Practise steps 23, 24 and 25, then show the procedure again; agree on a day"
            " with the observer.",
        ),
        deviations=tuple(
            Deviation(number, LONG_LABEL, "not today", "devices are used again")
            for number in range(1, 3)
        ),
        amendments=(LONG_TEXT,),
    )


def excessive() -> SheetContent:
    """More than two pages can hold, in letters as wide as there are."""
    base = longest()
    wide = ("Wwwww mmmmmmmm " * 20)[:200].strip()
    return replace(
        base,
        lines=tuple(RuleLine(LineLook.FAILED, wide[:60], wide) for _ in range(8)),
        criticals=tuple(replace(one, note=wide) for one in base.criticals),
        phases=base.phases * 2,
        amendments=(wide * 3,) * 4,
        advice=replace(base.advice, strength=wide * 2, change="W" * 300),
    )


ALL = {
    "pass": passed,
    "remediate": remediate,
    "undecided": undecided,
    "practice": practice,
    "void": void,
    "fatal": fatal,
    "longest": longest,
    "excessive": excessive,
}
