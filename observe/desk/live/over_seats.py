"""What lies over the seats, each in its place, with a panel in their middle.

Seats never move: what they are pressed for changes. Their critical keys stay at hand.
"""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from observe.desk.live.layout import Arrangement, Box, Edge, RoomPlan
from observe.desk.live.model import LiveModel
from observe.desk.live.seat import SeatCard
from observe.desk.theme import Skin

SIDE_SHARE, SIDE_MM = 0.27, 50
"""Width of a seat beside the panel where seats are wells of their own: share, and least."""
GAP = 8

Places = tuple[int | None, ...]
"""The learner at each place of a room, or None where it is free."""


class OverSeats(QWidget):
    """Cards at the places of the seats, and a box in their middle for a panel."""

    def __init__(self, skin: Skin, model: LiveModel, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model = skin, model
        self.cards: list[SeatCard] = []
        self.middle = Box(0, 0, 0, 0)
        self.free: tuple[Box, ...] = ()
        self.hide()

    def card(self, seat: int, edge: Edge, *, names_only: bool) -> SeatCard:
        """The card of one learner."""
        return SeatCard(self.skin, self.model, seat, self, edge=edge, names_only=names_only)

    def lay_out(self, plan: RoomPlan, places: Places) -> None:
        """Put the cards where the seats are."""
        for old in self.cards:
            old.hide()
            old.setParent(None)
            old.deleteLater()
        self.cards = []
        self.middle = plan.middle or middle_of(plan, self.skin.mm(SIDE_MM))
        rail = plan.arrangement is Arrangement.RAIL
        free = list(plan.free)
        for seat, place in zip(places, plan.seats, strict=True):
            if seat is None:
                free.append(place.box)
                continue
            edge = place.edge if plan.middle else Edge.NONE
            card = self.card(seat, edge, names_only=rail)
            box = place.box if plan.middle else beside(place.box, self.middle)
            card.setGeometry(box.x, box.y, box.width, box.height)
            card.show()
            self.cards.append(card)
        self.free = tuple(box if plan.middle else beside(box, self.middle) for box in free)
        self.place_panel()
        self.refresh()

    def place_panel(self) -> None:
        """Place what stands in the middle."""

    def refresh(self) -> None:
        """Show everything as it is now."""
        for card in self.cards:
            card.refresh()
        self.update()

    def tick(self) -> None:
        """A second went by."""
        for card in self.cards:
            card.tick()


def middle_of(plan: RoomPlan, least: int) -> Box:
    """The space between the seats at both sides, where each of them is a well of its own.

    least: px of width that a seat needs.
    """
    boxes = [place.box for place in plan.seats] + list(plan.free)
    left, right = min(box.x for box in boxes), max(box.right for box in boxes)
    top, bottom = min(box.y for box in boxes), max(box.bottom for box in boxes)
    side = max(round((right - left) * SIDE_SHARE), least)
    end = right - side - GAP if any(box.x > left for box in boxes) else right
    return Box(left + side + GAP, top, end - left - side - GAP, bottom - top)


def beside(box: Box, middle: Box) -> Box:
    """A seat drawn in to its own side of the room."""
    if box.x < middle.x:
        return Box(box.x, box.y, middle.x - GAP - box.x, box.height)
    return Box(middle.right + GAP, box.y, box.right - middle.right - GAP, box.height)
