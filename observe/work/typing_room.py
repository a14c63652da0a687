"""A room of papers: what an observer marked on paper, typed in seat by seat (rule D2)."""

from __future__ import annotations

from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook
from observe.work.session import Room, Session
from observe.work.transcribing import open_transcription


class TypingRoom(Room):
    """The seats whose papers can be typed in; no clock runs in it.

    observer: who watched, and marked the papers at the time. typist: who types. date,
    start: as on the papers, "2026-03-02" and "09:40"; empty where they say nothing.
    Raises Refused where no seat of the observer's is left to be typed.
    """

    def __init__(
        self,
        logbook: Logbook,
        workshop: Workshop,
        observer: str,
        *,
        typist: str,
        date: str = "",
        start: str = "",
    ) -> None:
        self.typist, self.date, self.start = typist, date, start
        self.left_out: dict[int, Refused] = {}
        super().__init__(logbook, workshop, observer)
        if not self.every:
            raise next(iter(self.left_out.values()), _nothing())

    def reopened(self) -> Room:
        return TypingRoom(
            self.logbook,
            self.workshop,
            self.observer,
            typist=self.typist,
            date=self.date,
            start=self.start,
        )

    def open(self, workshop: Workshop, seat: Seat) -> Session | None:
        """Open, or resume, the typing of one paper; one that was marked live is left out."""
        try:
            return open_transcription(
                self.logbook,
                workshop,
                seat,
                watched_by=self.observer,
                typist=self.typist,
                date=self.date,
                start=self.start,
            )
        except Refused as refused:
            self.left_out[seat.number] = refused
            return None


def _nothing() -> Refused:
    return Refused(
        "This observer watches nobody in this workshop.", remedy="Choose who marked the papers."
    )
