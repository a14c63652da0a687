"""Whether a sheet is what was signed, whole, and prints what its record says (rule K3).

Demanded: the expected signatures, each valid, the last covering the whole file,
nothing hidden in the room left for them, and a file equal to the attached record
drawn and sealed again. The answer is a level and sentences; never an exception.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from enum import StrEnum
from typing import TypeVar

from asn1crypto.x509 import Certificate
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.diff_analysis import ModificationLevel
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature
from pyhanko_certvalidator import ValidationContext

from observe import __version__
from observe.domain.foreign import one_line, seen
from observe.domain.troubles import BadInput
from observe.sheets import printed, reading, record, sealed
from observe.sheets.kept import FIELDS, Content, engine, facts, first_field, read
from observe.sheets.printed import Likeness
from observe.sheets.reading import Damaged, Span
from observe.sheets.report_content import ReportContent
from observe.trust.standing import Known, Standing, Trust, standing

_R = TypeVar("_R")

_LONGEST_NAME = 80


class Level(StrEnum):
    """sound: all demands are met. wanting: one is not. unreadable: no sheet to judge."""

    SOUND = "sound"
    WANTING = "wanting"
    UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True)
class Signed:
    """One signature. name: what the key says of itself. fingerprint: SHA-256, hexadecimal.

    claimed: when it says that it was made. standing: what this machine knows of the key.
    """

    field: str
    name: str
    fingerprint: str
    claimed: datetime | None
    is_valid: bool
    standing: Standing

    @property
    def at(self) -> str:
        """When it says that it was made, to read."""
        return f"{self.claimed:%Y-%m-%d %H:%M %z}" if self.claimed else "no time"


@dataclass(frozen=True, slots=True)
class Verdict:
    """sentences: first what is wanting, then what is sound. facts: the same for programs."""

    level: Level
    sentences: tuple[str, ...]
    signatures: tuple[Signed, ...] = ()
    facts: Mapping[str, str | int | None] = field(default_factory=dict)


@dataclass(slots=True)
class _Findings:
    """What was found so far, sorted."""

    wanting: list[str] = field(default_factory=list)
    sound: list[str] = field(default_factory=list)
    signatures: list[Signed] = field(default_factory=list)
    facts: dict[str, str | int | None] = field(default_factory=dict)

    def verdict(self) -> Verdict:
        level = Level.WANTING if self.wanting else Level.SOUND
        sentences = tuple(map(seen, (*self.wanting, *self.sound)))
        return Verdict(level, sentences, tuple(self.signatures), dict(self.facts))


def verify(
    pdf: bytes,
    known: Known | None = None,
    expected: int | None = None,
    now: datetime | None = None,
    held: datetime | None = None,
) -> Verdict:
    """Judge one sheet.

    known: what this machine knows of keys and departments. expected: how many signatures
    there must be; None for as many as the sheet's own fields allow. now: with offset, for
    what has expired; None for the time that each signature claims. held: since when this
    machine knew of the file; None if it does not.
    """
    unreadable = _not_a_pdf(pdf)
    if unreadable:
        return Verdict(Level.UNREADABLE, (unreadable,))
    findings = _Findings()
    asked = _Asked(known or Known({}), expected, now, held)
    try:
        reader = reading.opened(pdf)
        _judge(pdf, reader, asked, findings)
    except Damaged as trouble:
        return _of_damaged(pdf, asked, str(trouble))
    return findings.verdict()


def _not_a_pdf(pdf: bytes) -> str:
    if not pdf:
        return "The file is empty."
    if len(pdf) > reading.MOST_BYTES:
        return f"The file has {len(pdf):,} bytes; no sheet is that large.".replace(",", "\u202f")
    if b"%PDF-" not in pdf[:1024]:
        return "This is neither a signed sheet (a PDF file) nor a logbook."
    return ""


def _of_damaged(pdf: bytes, asked: _Asked, sentence: str) -> Verdict:
    """A file that does not open: perhaps only something was added behind the last signature."""
    ends = [span.end for span in reading.spans(pdf) if span.end < len(pdf)]
    if ends:
        added = len(pdf) - max(ends)
        inner = verify(pdf[: max(ends)], asked.known, asked.expected, asked.now)
        if inner.level is Level.SOUND:
            return Verdict(
                Level.WANTING,
                (_added(added), "Without them the file would be sound.", *inner.sentences),
                inner.signatures,
                inner.facts,
            )
    return Verdict(Level.UNREADABLE, (sentence,))


def _added(count: int) -> str:
    noun = "1 byte was" if count == 1 else f"{count} bytes were"
    return f"{noun} added behind the last signature: no signature covers them."


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a sheet is judged by; as in `verify`."""

    known: Known
    expected: int | None
    now: datetime | None
    held: datetime | None = None


def _judge(pdf: bytes, reader: PdfFileReader, asked: _Asked, findings: _Findings) -> None:
    content = _or_damaged(lambda: _judge_record(reader, findings), findings)
    signatures = _or_damaged(lambda: _signatures(reader), findings, _SIGNATURE_DAMAGED) or []
    first = first_field(content)
    _or_damaged(lambda: _judge_count(reader, signatures, first, asked.expected, findings), findings)
    for number, signature in enumerate(signatures):
        is_last = number == len(signatures) - 1
        _judge_signature(pdf, signature, asked, findings, is_last=is_last)
    if content is not None:
        _judge_signer(content, findings)
        _or_damaged(lambda: _judge_print(reader, content, findings), findings)


_DAMAGED = "A part of the file cannot be read: it was changed or damaged after it was made."
_SIGNATURE_DAMAGED = "A signature in the file cannot be read: it was changed or damaged."


def _or_damaged(step: Callable[[], _R], findings: _Findings, sentence: str = _DAMAGED) -> _R | None:
    """The step's result; where the file does not hold together, that is a finding."""
    try:
        return step()
    except Damaged:
        if sentence not in findings.wanting:
            findings.wanting.append(sentence)
        return None


def _judge_record(reader: PdfFileReader, findings: _Findings) -> Content | None:
    kept = reading.attached(reader)
    if kept is None:
        findings.wanting.append("No record is attached: this PDF is no sheet of this program.")
        return None
    try:
        content = read(kept)
    except BadInput as trouble:
        findings.wanting.append(str(trouble))
        return None
    findings.facts["record"] = record.digest_of(kept)
    findings.facts["code"] = record.code_of(record.digest_of(kept))
    findings.facts.update(facts(content))
    return content


@reading.guarded
def _signatures(reader: PdfFileReader) -> list[EmbeddedPdfSignature]:
    return list(reader.embedded_signatures)


def _judge_count(
    reader: PdfFileReader,
    signatures: list[EmbeddedPdfSignature],
    first: str,
    expected: int | None,
    findings: _Findings,
) -> None:
    places = reading.fields(reader)
    findings.facts["signatures"] = len(signatures)
    if not places:
        findings.wanting.append("The file is unsigned: nobody answers for what it says.")
    elif not places.get(first, False):
        findings.wanting.append(
            f"The place “{first}” holds no signature: it was removed or never made."
        )
    strange = sorted(set(places) - FIELDS)
    if strange:
        findings.wanting.append(f"There are signature places of another origin: {_list(strange)}.")
    if expected is not None and len(signatures) != expected:
        findings.wanting.append(f"{expected} signatures were expected; {len(signatures)} found.")


def _list(names: list[str]) -> str:
    return ", ".join(f"“{one_line(name, 40)}”" for name in names)


def _judge_signature(
    pdf: bytes,
    signature: EmbeddedPdfSignature,
    asked: _Asked,
    findings: _Findings,
    *,
    is_last: bool,
) -> None:
    signed = _or_damaged(lambda: _signed(signature, asked), findings, _SIGNATURE_DAMAGED)
    if signed is None:
        return
    findings.signatures.append(signed)
    name = f"The signature “{signed.field}” of {signed.name or 'an unnamed key'}"
    if signed.is_valid:
        findings.sound.append(f"{name} is valid; it claims {signed.at}.")
        said = findings.wanting if _is_doubtful(signed, asked.known) else findings.sound
        said.append(_of_key(signed))
    else:
        findings.wanting.append(f"{name} is not valid: the file was changed after it was signed.")
    span = _or_damaged(lambda: _span(signature), findings, _SIGNATURE_DAMAGED)
    if span is None or not reading.padding_is_zero(pdf, span):
        findings.wanting.append(f"{name}: something is hidden in the room left for it.")
    elif is_last and span.end < len(pdf):
        findings.wanting.append(_added(len(pdf) - span.end))
    elif is_last and signed.is_valid:
        findings.sound.append("The last signature covers the whole file.")


@reading.guarded
def _span(signature: EmbeddedPdfSignature) -> Span | None:
    numbers = [int(number) for number in signature.byte_range]
    if len(numbers) != 4 or numbers[0] != 0:
        return None
    return Span(numbers[1], numbers[2], numbers[2] + numbers[3])


def _is_doubtful(signed: Signed, known: Known) -> bool:
    """Whether a key speaks against a signature, on a machine where a department is confirmed."""
    against = {Trust.REVOKED, Trust.EARLY, Trust.LATE, Trust.STRANGE}
    return bool(known.pins) and signed.standing.trust in against


def _of_key(signed: Signed) -> str:
    trust, sentence = signed.standing.trust, signed.standing.sentence
    if signed.standing.is_trusted:
        return f"Its key is known here: {sentence}."
    if trust is Trust.UNKNOWN:
        return (
            f"Its key is not known on this machine ({signed.fingerprint[:16]}): that it belongs to"
            f" {signed.name or 'that person'} is only what the key says of itself."
        )
    return f"Of its key ({signed.fingerprint[:16]}): {sentence}."


@reading.guarded
def _signed(signature: EmbeddedPdfSignature, asked: _Asked) -> Signed:
    certificate = signature.signer_cert
    at = signature.self_reported_timestamp
    claimed = at.replace(tzinfo=at.tzinfo or UTC) if at else None
    chain = [certificate, *signature.other_embedded_certs]
    now = asked.now or claimed or datetime.min.replace(tzinfo=UTC)
    found = standing(
        [one.dump() for one in _in_order(chain)],
        asked.known,
        claimed=claimed or now,
        now=now,
        held=asked.held,
    )
    return Signed(
        field=one_line(signature.field_name, _LONGEST_NAME),
        name=one_line(str(certificate.subject.native.get("common_name", "")), _LONGEST_NAME),
        fingerprint=certificate.sha256.hex(),
        claimed=claimed,
        is_valid=_is_valid(signature),
        standing=Standing(found.trust, one_line(found.sentence, 3 * _LONGEST_NAME)),
    )


def _in_order(held: list[Certificate]) -> list[Certificate]:
    """The certificates from the signer's up, each named by the one before it."""
    path, rest = held[:1], held[1:]
    while rest:
        above = next((one for one in rest if one.subject == path[-1].issuer), None)
        if above is None:
            break
        path.append(above)
        rest.remove(above)
    return path


def _is_valid(signature: EmbeddedPdfSignature) -> bool:
    """Intact, made by the key it names, and no later change but of signature fields."""
    context = ValidationContext(
        trust_roots=[signature.signer_cert], allow_fetching=False, revocation_mode="soft-fail"
    )
    try:
        status = validate_pdf_signature(signature, signer_validation_context=context)
    except reading.BROKEN:
        return False
    later = status.modification_level or ModificationLevel.OTHER
    return bool(
        status.intact
        and status.valid
        and status.docmdp_ok
        and later <= ModificationLevel.FORM_FILLING
    )


def _judge_signer(content: Content, findings: _Findings) -> None:
    named = content.signer.fingerprint
    field = first_field(content)
    first = next((one for one in findings.signatures if one.field == field), None)
    if first is not None and named and first.fingerprint != named:
        name = one_line(content.signer.name, _LONGEST_NAME)
        findings.wanting.append(
            f"The {_kind(content)} names {name} and a key {named[:16]};"
            f" it was signed with another key, {first.fingerprint[:16]}."
        )


def _kind(content: Content) -> str:
    return "report" if isinstance(content, ReportContent) else "sheet"


def _judge_print(reader: PdfFileReader, content: Content, findings: _Findings) -> None:
    if any(
        kind != "/Widget" or name not in FIELDS
        for page in reading.pages(reader)
        for kind, name in reading.annotations_of(page)
    ):
        findings.wanting.append("Something was laid over the pages that is no signature.")
    again = printed.drawn_again(reader, content)
    compared = printed.compare(reader, again)
    if compared.likeness is not Likeness.SAME:
        findings.wanting.append(_differs(compared, engine(content)))
        return
    is_signed = reading.fields(reader).get(first_field(content), False)
    strange = sealed.beside(reader, again) if is_signed else ""
    if strange:
        findings.wanting.append(strange + _other_version(engine(content)))
    else:
        findings.sound.append("The pages print what the attached record says, drawn again here.")


_DRAWN_OTHERWISE = (
    "The words of the pages are those of the attached record, but the pages are not the sheet"
    " drawn again: something may be covered, cut or added"
)


def _differs(compared: printed.Comparison, version: str) -> str:
    if compared.likeness is Likeness.SAME_WORDS:
        return f"{_DRAWN_OTHERWISE}.{_other_version(version)}"
    parts = ["What the pages print is not what the attached record says"]
    if compared.only_printed:
        parts.append(f"; printed only: {_words(compared.only_printed)}")
    if compared.only_recorded:
        parts.append(f"; in the record only: {_words(compared.only_recorded)}")
    return f"{''.join(parts)}.{_other_version(version)}"


def _words(words: tuple[str, ...]) -> str:
    return ", ".join(one_line(word, 40) for word in words)


def _other_version(version: str) -> str:
    """What to do where another version drew the sheet; empty for our own."""
    if version == __version__:
        return ""
    return (
        f" The sheet was drawn by version {one_line(version, 20)}, this is {__version__}:"
        " check it with that version."
    )
