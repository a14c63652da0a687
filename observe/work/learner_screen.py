"""What learners say on their own locked screen: of their own attempt, or of a peer's (rule P2).

It is kept as an observation of its own in the role of self or peer, by the learner. It is
formative: no decision, no agreement and no sheet's score rests on it.
"""

from __future__ import annotations

from observe.domain.observation import Role
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook
from observe.work.session import Session, open_session


def peers(workshop: Workshop, seat: Seat) -> tuple[str, ...]:
    """Learners of the workshop who may watch the attempt at a seat as a peer, in seat order.

    Not the learner themself, and nobody who observes the attempt already.
    """
    learners = dict.fromkeys(one.learner for one in workshop.seats)
    return tuple(one for one in learners if one != seat.learner and one not in seat.observers)


def open_own(logbook: Logbook, workshop: Workshop, seat: Seat) -> Session:
    """Open, or resume, what the learner at a seat says of their own attempt.

    Raises Refused if the learner observes this attempt in another role.
    """
    return _opened(logbook, workshop, seat, seat.learner, Role.SELF)


def open_peer(logbook: Logbook, workshop: Workshop, seat: Seat, peer: str) -> Session:
    """Open, or resume, what a peer says of the attempt at a seat.

    Raises Refused if the peer is not one of `peers`.
    """
    if peer not in peers(workshop, seat):
        raise Refused(
            "A peer is another learner of this workshop.", where=peer, remedy="Choose one of them."
        )
    return _opened(logbook, workshop, seat, peer, Role.PEER)


def _opened(logbook: Logbook, workshop: Workshop, seat: Seat, person: str, role: Role) -> Session:
    refusal = Refused(
        "This person observes the attempt in another role.",
        where=person,
        remedy="One person has one record of an attempt.",
    )
    if person in seat.observers:
        raise refusal
    session = open_session(logbook, workshop, seat, person, role)
    if session.state.role is not role:
        raise refusal
    return session
