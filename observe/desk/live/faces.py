"""The faces of the keys in Live: what each shows, and what the reader says."""

from __future__ import annotations

import math

from PySide6.QtCore import QRectF

from observe.desk.deeds import centred, deed_shapes, icon_face, paint_icon
from observe.desk.keys import Face
from observe.desk.paint import BOTTOM, CENTRE, MIDDLE, RIGHT, Pen, Style, fit
from observe.desk.theme import Skin
from observe.domain.markwords import PROMPTS
from observe.look.marks import MARK_TOKEN, MarkLook, mark_shapes
from observe.look.signs import SignLook, barrier_shapes, sign_shapes
from observe.look.tokens import HEEL, Token, Weight

DONE_WORD, STEP_WORD = "Done", "step"


# the sentence key of a seat


def sentence_face(
    label: str, number: int, needed: str, *, low: bool, can: bool, name: str = ""
) -> Face:
    """The current step in full on its own Done key; needed: "needs 13" or nothing."""
    said = f"Step {number}, {label}. {needed + '. ' if needed else ''}Done."
    return Face(
        f"{name}{said}",
        _sentence,
        (label, number, needed, "low" if low else "high"),
        heel=Token.DONE,
        can=can,
    )


def _sentence(
    pen: Pen, box: QRectF, ink: Token, label: str, number: int, needed: str, seat: str
) -> None:
    px, sizes = pen.skin.px, pen.skin.density
    inner = box.adjusted(px(9), px(5), -px(7), -px(4 if seat == "low" else 6))
    foot = px(20)
    above = QRectF(inner.x(), inner.y(), inner.width(), inner.height() - foot)
    size = sizes.sentence_low if seat == "low" else sizes.sentence
    least = sizes.sentence_least if pen.skin.is_hand else sizes.least
    pen.text(above, label, Style(size, Weight.MEDIUM, ink, least))
    line = QRectF(inner.x(), inner.bottom() - foot, inner.width(), foot)
    side = px(14)
    pen.shapes(mark_shapes(MarkLook.DONE, side), line.x(), round(line.center().y() - side / 2))
    word = QRectF(line.x() + side + px(6), line.y(), line.width() - side - px(6), foot)
    done = pen.text(word, DONE_WORD, Style(16, Weight.BOLD, Token.DONE, down=MIDDLE))
    rest = word.adjusted(done.width + px(6), 0, 0, 0)
    if needed:
        _needed(pen, rest, needed)
    else:
        note = Style(15, ink=Token.INK2, least=13, across=RIGHT, down=MIDDLE)
        pen.text(rest, f"{STEP_WORD} {number}", note, shorter=(str(number),))


def sentence_height(skin: Skin, label: str, width: int) -> int:
    """Least px of height of a sentence key `width` px wide that holds a label in full."""
    sizes, px = skin.density, skin.px
    least = sizes.sentence_least if skin.is_hand else sizes.least
    style = Style(least, Weight.MEDIUM)
    laid_out = fit(skin, label, width - px(16), 10_000, style)
    wide = 0 if laid_out.fits else 10_000
    return math.ceil(laid_out.height) + px(20) + px(9) + skin.still(HEEL, HEEL) + wide


def _needed(pen: Pen, box: QRectF, needed: str) -> None:
    side = pen.skin.px(13)
    style = Style(15, Weight.BOLD, Token.WRONG, 13, across=RIGHT, down=MIDDLE)
    numbers = needed.removeprefix("needs ")
    first = numbers.split(",", maxsplit=1)[0]
    shorter = (numbers, f"{first} …") if "," in numbers else (numbers,)
    place = box.adjusted(side + pen.skin.px(3), 0, 0, 0)
    said = pen.text(place, needed, style, shorter=shorter)
    x = box.right() - said.width - side - pen.skin.px(3)
    pen.shapes(
        sign_shapes(SignLook.NEEDS_EARLIER, side), round(x), round(box.center().y() - side / 2)
    )


# the critical key


def critical_face(
    *,
    sign: SignLook | None,
    time: str,
    words: str,
    count: int,
    can: bool,
    name: str,
    quiet: bool,
    item: str = "",
) -> Face:
    """Quiet until something is recorded; then sign, time, what it was, and room for another.

    item: the short sentence of the item, while it is not decided what became of it.
    """
    said = "Critical, keep the time" if sign is None else f"Critical, {count} recorded"
    told = f"{item}, {words}" if item else words
    detail = f", {told}, {time}" if sign is not None else ""
    used = sign is not None or not quiet
    waits = bool(item) or "not named" in words
    return Face(
        f"{said}{detail}. {name}",
        _critical,
        (sign, time, words, count, item),
        fill=Token.CRITBG if sign is not None else Token.SHEET if quiet else Token.KEY,
        heel=Token.CRIT if used else Token.KEYHEEL,
        border=Token.CRIT if sign is not None and waits else Token.LINE,
        chosen=False,
        can=can,
    )


def _critical(
    pen: Pen,
    box: QRectF,
    ink: Token,
    sign: SignLook | None,
    time: str,
    words: str,
    count: int,
    item: str,
) -> None:
    if sign is None:
        _critical_quiet(pen, box, ink)
        return
    px = pen.skin.px
    narrow = box.width() < px(104)
    inner = box.adjusted(px(7 if narrow else 10), px(7), -px(4), -px(4))
    side = pen.skin.sign(22, 22) if narrow else pen.skin.sign(26, 26)
    pen.shapes(sign_shapes(sign, side), inner.x(), inner.y())
    when = QRectF(inner.x() + side + px(6), inner.y(), inner.width() - side - px(6), side)
    if narrow:
        when = QRectF(inner.x(), inner.y() + side + px(2), inner.width(), px(20))
    pen.text(when, time, Style(19, Weight.BOLD, Token.CRIT, 13, down=MIDDLE))
    below = QRectF(inner.x(), when.bottom() + px(2), inner.width(), px(36))
    below.translate(0, _critical_item(pen, below, inner.bottom(), item))
    shorter = (words.rpartition(", ")[2],)
    said = pen.text(below, words, Style(15, Weight.BOLD, Token.CRIT, 12.5), shorter=shorter)
    foot = QRectF(inner.x(), inner.bottom() - px(18), inner.width(), px(18))
    if foot.y() >= below.y() + said.height:
        more = f"{count} recorded" if count > 1 else "add another"
        style = Style(15, ink=Token.INK2, least=12.5, down=BOTTOM)
        pen.text(foot, more, style, shorter=(f"{count} times" if count > 1 else "another",))


def _critical_quiet(pen: Pen, box: QRectF, ink: Token) -> None:
    px = pen.skin.px
    side = pen.skin.sign(26, 26)
    middle = box.center().y()
    above = pen.skin.sign(14, 14)
    centred(pen, sign_shapes(SignLook.ABSOLUTE, side), box.center().x(), middle - above)
    place = QRectF(box.x(), middle + px(4), box.width(), px(22))
    pen.text(place, "Critical", Style(16, Weight.MEDIUM, ink, 13, CENTRE, MIDDLE))


def _critical_item(pen: Pen, box: QRectF, bottom: float, item: str) -> float:
    """The item's short sentence, as a whole or not at all; px of height that it took."""
    px = pen.skin.px
    style = Style(15, Weight.MEDIUM, Token.INK, 12.5, leading=1.1)
    room = bottom - box.y() - px(22)
    said = fit(pen.skin, item, box.width(), max(0, room), style)
    if not item or not said.fits:
        return 0
    pen.text(QRectF(box.x(), box.y(), box.width(), room), item, style)
    return said.height + px(1)


# the mark keys of the well


def done_face(*, can: bool, name: str) -> Face:
    """The biggest key of the well."""
    return Face(
        f"Done. {name}",
        _done,
        fill=Token.DONE,
        heel=Token.DONE,
        border=Token.DONE,
        ink=Token.ONDONE,
        can=can,
    )


def _done(pen: Pen, box: QRectF, ink: Token) -> None:
    px, size = pen.skin.px, pen.skin.density.key_done
    side = pen.skin.sign(size * 1.08, size * 1.08)
    style = Style(size, Weight.BOLD, ink, 15, down=MIDDLE)
    word = fit(pen.skin, DONE_WORD, box.width(), box.height(), style)
    x = box.center().x() - (side + px(10) + word.width) / 2
    pen.shapes(mark_shapes(MarkLook.DONE, side), round(x), round(box.center().y() - side / 2), ink)
    pen.text(QRectF(x + side + px(10), box.y(), word.width + 2, box.height()), DONE_WORD, style)


def mark_face(look: MarkLook, word: str, *, can: bool, name: str) -> Face:
    """A mark over its word."""
    return Face(f"{word}. {name}", _mark, (look, word), heel=_heel(look), can=can)


def _heel(look: MarkLook) -> Token:
    token = MARK_TOKEN[look]
    return Token.KEYHEEL if token is Token.LINE else token


def _mark(pen: Pen, box: QRectF, ink: Token, look: MarkLook, word: str) -> None:
    px = pen.skin.px
    side = pen.skin.sign(23, 17)
    tall = pen.skin.pick(22, 18)
    style = Style(pen.skin.density.key_word, Weight.MEDIUM, ink, 12, CENTRE, MIDDLE)
    wide = box.width() - px(4)
    if not fit(pen.skin, word, wide, tall, style).fits:
        tall = min(2 * tall, int(box.height()) - side - px(5))
    top, below = _stacked(pen, box, side, tall)
    pen.shapes(mark_shapes(look, side), round(box.center().x() - side / 2), round(top))
    pen.text(QRectF(box.x() + px(2), below, wide, tall), word, style)


def _stacked(pen: Pen, box: QRectF, side: float, tall: float) -> tuple[float, float]:
    """Tops of a sign and of the word below it; in a low key all gaps are alike."""
    gap = min(pen.skin.px(5), max(0.0, (box.height() - side - tall) / 3))
    top = box.center().y() - (side + gap + tall) / 2
    return top, top + side + gap


_PROMPT_LOOKS = (MarkLook.PROMPT_1, MarkLook.PROMPT_2, MarkLook.PROMPT_3, MarkLook.PROMPT_4)


def prompt_face(level: int, *, can: bool, name: str) -> Face:
    """Done with help: the mark and the level, and in a word what the help was."""
    word = PROMPTS[level]
    return Face(
        f"Done after prompt {level}, {word}. {name}",
        _prompt,
        (level, word),
        heel=Token.PROMPT,
        can=can,
    )


def _prompt(pen: Pen, box: QRectF, ink: Token, level: int, word: str) -> None:
    px, pick = pen.skin.px, pen.skin.pick
    side, tall = pen.skin.sign(22, 17), pick(22, 18)
    size = 18 if pen.skin.is_hand else 16
    style = Style(size, Weight.BOLD, ink, down=MIDDLE)
    top, below = _stacked(pen, box, side, tall)
    number = round(pen.skin.text_px(size) * 0.66)
    x = box.center().x() - (side + px(8) + number) / 2
    pen.shapes(mark_shapes(_PROMPT_LOOKS[level - 1], side), round(x), round(top))
    beside = QRectF(x + side + px(8), top + (side - tall) / 2, number * 2, tall)
    pen.text(beside, str(level), style)
    place = QRectF(box.x() + px(2), below, box.width() - px(4), tall)
    pen.text(place, word, Style(pen.skin.density.key_word, Weight.MEDIUM, ink, 11, CENTRE, MIDDLE))


def sign_face(
    sign: SignLook, word: str, *, can: bool, name: str, heel: Token = Token.KEYHEEL
) -> Face:
    """A sign over its word."""
    return Face(f"{word}. {name}", _sign, (sign, word), heel=heel, can=can)


def _sign(pen: Pen, box: QRectF, ink: Token, sign: SignLook, word: str) -> None:
    px = pen.skin.px
    side, tall = pen.skin.sign(22, 17), pen.skin.pick(22, 18)
    top, below = _stacked(pen, box, side, tall)
    centred(pen, sign_shapes(sign, side), box.center().x(), top + side / 2)
    place = QRectF(box.x() + px(2), below, box.width() - px(4), tall)
    pen.text(place, word, Style(pen.skin.density.key_word, Weight.MEDIUM, ink, 12, CENTRE, MIDDLE))


def stop_face(*, can: bool, name: str) -> Face:
    """Stop for safety: the barrier and its words."""
    return Face(f"Stop for safety. {name}", _stop, heel=Token.INK, can=can)


def _stop(pen: Pen, box: QRectF, ink: Token) -> None:
    px = pen.skin.px
    margin = pen.skin.still(14, 14)
    wide, high, tall = box.width() - 2 * margin, pen.skin.sign(22, 16), pen.skin.pick(44, 38)
    top = box.center().y() - (high + px(6) + tall) / 2 - (0 if pen.skin.text > 1 else px(6))
    pen.shapes(barrier_shapes(wide, high), round(box.x() + margin), round(top), ink)
    place = QRectF(box.x() + px(4), top + high + px(6), box.width() - px(8), tall)
    pen.text(place, "Stop for\nsafety", Style(16, Weight.BOLD, ink, 13, CENTRE, MIDDLE))


def clock_face(
    time: str,
    *,
    running: bool,
    started: bool,
    front: bool,
    can: bool,
    below: str = "",
    limit: str = "",
    over: bool = False,
) -> Face:
    """The clock is the pause key: bars while it runs, an outline while it stands.

    below: what stands under the time. limit: the same for the reader. over: the time has
    come to its end; the key is in band colours then, and turned round on a header that is.
    """
    deed = "Pause" if running else "Go on" if started else "Start"
    dark = front != over
    return Face(
        f"{deed}, clock at {time}{limit}",
        _clock,
        (time, "pause" if running else "go", below),
        fill=Token.BAND if dark else Token.SHEET,
        heel=Token.BAND if dark else Token.KEYHEEL,
        ink=Token.ONBAND if dark else Token.INK,
        border=Token.ONBAND if dark else Token.INK,
        can=can,
    )


def _clock(pen: Pen, box: QRectF, ink: Token, time: str, deed: str, below: str) -> None:
    px = pen.skin.px
    side = px(15)
    x = box.x() + px(10)
    tall = box.height() >= px(48)
    line = px(17 if tall else 13) if below else 0
    both = min(box.height(), px(26) + line)
    top = box.center().y() - both / 2
    first = QRectF(0, top, 0, both - line)
    pen.shapes(deed_shapes(deed, side), round(x), round(first.center().y() - side / 2), ink)
    left = x + side + px(6)
    wide = box.right() - left - px(8)
    style = Style(22 if tall else 17 if below else 20, Weight.BOLD, ink, 14, RIGHT, MIDDLE)
    pen.text(QRectF(left, top, wide, first.height()), time, style)
    if below:
        place = QRectF(box.x() + px(4), first.bottom(), box.width() - px(12), line)
        size = 14 if tall else 12
        pen.text(place, below, Style(size, Weight.MEDIUM, ink, 10, RIGHT, MIDDLE))


def told_face(
    draw_sign: str, title: str, text: str, *, can: bool, name: str, heel: Token = Token.KEYHEEL
) -> Face:
    """A deed with what it does in full: sign at the left, bold title, text below."""
    return Face(f"{title}. {text}. {name}", _told, (draw_sign, title, text), heel=heel, can=can)


def _told(pen: Pen, box: QRectF, ink: Token, sign: str, title: str, text: str) -> None:
    px, sizes = pen.skin.px, pen.skin.density
    side = pen.skin.sign(22, 18)
    inner = box.adjusted(px(9), px(3), -px(6), -px(3))
    x = inner.x()
    if sign:
        pen.shapes(deed_shapes(sign, side), round(x), round(inner.y() + px(6)), ink)
        x += side + px(8)
    wide = inner.right() - x
    line = px(20)
    style = Style(sizes.second, Weight.REGULAR, Token.INK2, 12.5, leading=1.08)
    if text and fit(pen.skin, text, wide, inner.height() - line - px(2), style).fits:
        pen.text(QRectF(x, inner.y() + px(2), wide, line), title, Style(15, Weight.BOLD, ink, 12.5))
        below = QRectF(x, inner.y() + px(2) + line, wide, inner.height() - line - px(2))
        pen.text(below, text, style)
    else:
        place = QRectF(x, inner.y(), wide, inner.height())
        pen.text(place, title, Style(15, Weight.MEDIUM, ink, 12.5, down=MIDDLE))


def deed_face(sign: str, word: str, what: str, text: str, *, low: bool) -> Face:
    """A deed. low: what it does stands on the key; else the row beside it says so."""
    if low:
        return told_face(sign, what or word, text, can=True, name=word)
    return icon_face(sign, word, f"{word}: {what}" if what else word)


def reason_face(number: int, reason: str) -> Face:
    """A reason why a step does not apply; which step stands above it."""
    name = f"Step {number} is not applicable, because: {reason}"
    return Face(name, _reason, (f"{number} not appl.:", reason))


def _reason(pen: Pen, box: QRectF, ink: Token, title: str, reason: str) -> None:
    px = pen.skin.px
    inner = box.adjusted(px(9), px(3), -px(6), -px(2))
    first = QRectF(inner.x(), inner.y(), inner.width(), px(17))
    pen.text(first, title, Style(14, Weight.REGULAR, Token.INK2, 12, down=MIDDLE))
    rest = inner.adjusted(0, px(17), 0, 0)
    pen.text(rest, reason, Style(15, Weight.MEDIUM, ink, 11, leading=1.08))


def offer_face(title: str, text: str) -> Face:
    """What can be answered in one press, and need not be: a word, and what it does."""
    return Face(f"{title}: {text}", _offer, (title, text))


def _offer(pen: Pen, box: QRectF, ink: Token, title: str, text: str) -> None:
    px, sizes = pen.skin.px, pen.skin.density
    inner = box.adjusted(px(9), px(3), -px(6), -px(2))
    head = Style(15, Weight.BOLD, ink, 12.5, leading=1.08)
    line = min(inner.height() / 2, fit(pen.skin, title, inner.width(), px(40), head).height)
    pen.text(QRectF(inner.x(), inner.y(), inner.width(), line), title, head)
    below = inner.adjusted(0, line, 0, 0)
    pen.text(below, text, Style(sizes.second, Weight.REGULAR, Token.INK2, 11, leading=1.08))


def order_face(number: int, *, low: bool) -> Face:
    """The question whether the order was wrong; pressing it claims so (rule M5)."""
    name = f"Order? Step {number} was seen out of order"
    if low:
        words = (f"Order? Step {number}", "press: seen out of order")
        return Face(name, _told_plain, words, heel=Token.WRONG)
    return Face(name, _sign, (SignLook.NEEDS_EARLIER, "Order?"), heel=Token.WRONG)


def _told_plain(pen: Pen, box: QRectF, ink: Token, title: str, text: str) -> None:
    _told(pen, box, ink, "", title, text)


def rate_face(name: str, *, front: bool, can: bool) -> Face:
    """To the rating of this learner."""
    return _header_face(f"Rate and seal. {name}", "rate", "Rate", front=front, can=can)


def more_face(name: str, *, front: bool) -> Face:
    """What else can be done for this learner."""
    return _header_face(f"More. {name}", "more", "More", front=front, can=True)


def _header_face(name: str, deed: str, word: str, *, front: bool, can: bool) -> Face:
    return Face(
        name,
        paint_icon,
        (deed, word),
        fill=Token.BAND if front else Token.SHEET,
        heel=Token.BAND if front else Token.KEYHEEL,
        ink=Token.ONBAND if front else Token.INK,
        border=Token.ONBAND if front else Token.LINE,
        can=can,
    )
