"""What the observers see, seat by seat, written so that a person can read it.

One word for each step of the variant, in order:

    d done          v voiced        1 2 3 4 done at that prompt level
    i incorrect     n not done      . not seen, passed over
    / not applicable, with the form's first reason     - did not arise
    o done, and seen out of order

A word that begins with "@" is a critical event just before the next step:
"@LPX-C2:recovered". Phases of the form stand on lines of their own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Part:
    """One observer's part at one seat.

    marks: as above. overall, independence: as the form's scales. strength,
    change: the observer's words. attests: the observer watched every critical
    item throughout. ends: "seal", or "void: reason".
    """

    marks: str
    overall: int
    independence: int
    strength: str
    change: str
    attests: bool = False
    ends: str = "seal"
    dimensions: Mapping[str, int] | None = None


FIRST: Mapping[int, Part] = {
    1: Part(
        "d d d v 1  d i d  d 1 d  d d d  d 1 / d d d d  d d v d  d d d d d d",
        overall=4,
        independence=4,
        strength="You named the crest line and counted down aloud before you marked.",
        change="Say the drying time of the antiseptic aloud.",
        attests=True,
    ),
    2: Part(
        "d d d 1 d  d 1 d  d @LPX-C2:recovered d d  d 1 d  d 2 / d d d d  d 1 d d  . d d 1 d d",
        overall=3,
        independence=3,
        strength="Your glove touched the rail. You saw it, said it and changed it at once.",
        change="Hold the needle level with the floor before you move it on.",
        attests=True,
    ),
    3: Part(
        "d d d n 2  2 n d  d 2 d  i 2 2  d 3 / 3 i 2 3  i o 1 d  n d i n 2 n",
        overall=2,
        independence=2,
        strength="Stylet back in every time before you drew the needle.",
        change="Connect the manometer before you take the first tube.",
        attests=True,
    ),
    4: Part(
        "d d . . d  d . d  d . .  d . d  . . / . - . d  . d d d  d . d . . .",
        overall=3,
        independence=4,
        strength="Calm and clear with the patient before you began.",
        change="Wait until someone can watch you at the needle.",
    ),
    5: Part(
        "d d d d 1  d d i  d d d  d 1 d  @LPX-C1:fatal d d / d d d d  d d d d  d d d d d d",
        overall=2,
        independence=4,
        strength="Sterile from the first glove to the last plaster.",
        change="Count from the crest line aloud: the mark was one space too high.",
        attests=True,
    ),
    6: Part(
        "d d d d d  d d d  d d @LPX-C2:fatal i  d d d  d 1 / d d d d  i 1 d d  d d d n d d",
        overall=3,
        independence=4,
        strength="Small steps with the needle, and the stylet back before each.",
        change="Keep the sterile hand off the crest under the drape.",
        attests=True,
    ),
    7: Part(
        "d d d v d  n d d  d 1 d  d d d  d d / @LPX-C6:averted 1 d 4 d  d d d d  d d d v d d",
        overall=3,
        independence=2,
        strength="You found the space again with a sterile finger before the needle.",
        change="At leg pain: stop, draw back, ask which side.",
        attests=True,
    ),
    8: Part(
        "d d d d d  d d d  d d",
        overall=3,
        independence=3,
        strength="",
        change="",
        ends="void: The puncture pad leaked and the trainer was taken out of use.",
    ),
}
"""The first observer's part at every seat."""

SECOND: Mapping[int, Part] = {
    1: Part(
        "d d d v d  d i d  d 1 d  d d d  d 1 / d d d 1  d d v d  d d d d d d",
        overall=4,
        independence=4,
        strength="Clear words to the patient before each touch.",
        change="Let the skin dry before you drape.",
        attests=True,
    ),
    3: Part(
        "d d d n 2  2 n d  d 2 d  n 2 1  d 2 / 3 i 2 2  i o d d  n d i n 2 n",
        overall=2,
        independence=2,
        strength="Clean hands and gloves throughout.",
        change="Know the order of the fluid steps before you begin.",
        attests=True,
    ),
    6: Part(
        "d d d d d  d d d  d d i  d d d  d 1 / d d d d  i d d d  d d d n 1 d",
        overall=4,
        independence=4,
        strength="Steady hands on the needle.",
        change="Speak to the helper earlier.",
        attests=True,
    ),
}
"""The second observer's part at the seats that the draw gave a second look."""

AMENDMENT_SEAT, AMENDMENT_STEP = 7, "LPX-24"
AMENDMENT_REASON = "I had pressed the wrong key: volume was named, tests were not."
