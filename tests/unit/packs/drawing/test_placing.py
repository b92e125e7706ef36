from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from qa.packs.drawing.ink import SMALL
from qa.packs.drawing.placing import Box, LabelPlacer, box_round, nearest_point, text_box

FRAME = Box(left=0.0, top=0.0, width=80.0, height=50.0)
PLACES = st.tuples(st.floats(0.0, 80.0), st.floats(0.0, 50.0))


@given(marks=st.lists(PLACES, max_size=40))
def test_placed_labels_never_meet_nor_leave_the_frame(marks: list[tuple[float, float]]) -> None:
    placer = LabelPlacer(FRAME)
    boxes = []
    for mark in marks:
        start = placer.beside(mark, "mix-1", SMALL, reaches_mm=(4.0,))
        if start is not None:
            boxes.append(text_box("mix-1", start, SMALL))
    assert not any(one.meets(other) for one, other in combinations(boxes, 2))
    assert all(FRAME.right >= box.right and FRAME.left <= box.left for box in boxes)


def test_a_lone_label_stands_right_of_its_mark() -> None:
    x, _ = LabelPlacer(FRAME).beside((40.0, 25.0), "mix-1", SMALL) or (0.0, 0.0)
    assert x > 40.0


def test_a_label_without_room_is_not_placed() -> None:
    placer = LabelPlacer(FRAME)
    placer.take(FRAME)
    assert placer.beside((40.0, 25.0), "mix-1", SMALL) is None


def test_boxes_that_share_an_edge_do_not_meet() -> None:
    box = box_round((5.0, 5.0), 10.0, 10.0)
    assert not box.meets(Box(left=10.0, top=0.0, width=5.0, height=10.0))
    assert box.holds(box)
    assert nearest_point(box, (20.0, 3.0)) == (10.0, 3.0)
