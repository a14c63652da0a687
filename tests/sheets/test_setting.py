from itertools import pairwise

import pytest

from observe.sheets.setting import MARGIN, MM, SETTINGS, Paper


def test_paper_has_its_published_size() -> None:
    # ISO 216: A4 is 210 mm by 297 mm. US Letter is 8.5 by 11 inches.
    assert Paper.A4.size == pytest.approx((210 * MM, 297 * MM))
    assert Paper.LETTER.size == pytest.approx((8.5 * 72, 11 * 72))
    assert 18 * MM == MARGIN


def test_each_density_takes_less_room_than_the_one_before() -> None:
    for roomy, close in pairwise(SETTINGS):
        for name in ("text", "list", "small", "title", "gap", "row", "band", "top", "list_pad"):
            assert getattr(close, name) <= getattr(roomy, name), name


def test_nothing_is_set_smaller_than_seven_points() -> None:
    assert min(min(one.text, one.list, one.small) for one in SETTINGS) >= 7
