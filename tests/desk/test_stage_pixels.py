"""What the stage shows, pixel by pixel."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRect
from PyQt6.QtGui import QColor, QImage, QPainter
from support.media import make_clip
from support.reviews import every_mark, note
from support.stage import StageHand, portrait_clip, stage_with

from cliptag.desk.frames import FrameFeed
from cliptag.desk.images import as_image
from cliptag.desk.look import look, palette
from cliptag.desk.stage import StageView, Viewport, mark_layer
from cliptag.desk.stage.loupe import scale_in_loupe
from cliptag.desk.state import DeskState
from cliptag.export import plan_export
from cliptag.export.scene import Scene, Shown
from cliptag.paint import Sizes, paint_overlay, rgba_of
from cliptag.review import Arrow, Joint, Line, PlumbLine, Point, edit

Pixels = NDArray[np.int16]
KNEE = Joint(
    id="knee",
    joint="knee",
    proximal=Point(430, 700),
    vertex=Point(640, 760),
    distal=Point(600, 1000),
)


@pytest.fixture(scope="module")
def stage(qapp, tmp_path_factory):
    with stage_with(portrait_clip(tmp_path_factory.mktemp("clip")), (1300, 1100)) as stage:
        yield stage


@pytest.fixture
def hand(stage):
    stage.clear()
    return stage


def pixels(image: QImage) -> Pixels:
    """(H, W, 3) as signed numbers."""
    return rgba_of(image)[..., :3].astype(np.int16)


def frame(hand: StageHand, index: int = 0) -> QImage:
    return as_image(hand.state.clip.frame(index).rgb)


def seen_part(hand: StageHand) -> tuple[QRect, QRect]:
    """The part of the stage that shows picture, and that part of the picture, at zoom 1."""
    view = hand.viewport
    assert view.zoom == 1.0
    left, top = max(0, round(view.left)), max(0, round(view.top))
    right = min(view.area[0], view.left + view.size[0])
    bottom = min(view.area[1], view.top + view.size[1])
    on_stage = QRect(left, top, int(right) - left, int(bottom) - top)
    return on_stage, on_stage.translated(round(-view.left), round(-view.top))


def grab(hand: StageHand, part: QRect) -> Pixels:
    return pixels(hand.picture().copy(part))


# -- the picture --------------------------------------------------------------------------------


def test_at_its_own_size_the_picture_is_shown_pixel_for_pixel(hand):
    hand.look_at(1.0, (540, 900))
    for index in (0, 7):
        hand.go_to(index)
        part, source = seen_part(hand)
        assert part.width() == 1080 and part.height() > 900
        assert (grab(hand, part) == pixels(frame(hand, index).copy(source))).all()


def test_on_a_dense_screen_each_of_its_pixels_shows_one_of_the_picture(hand):
    whole = Viewport.fitted((1080, 1920), (700.0, 500.0), 0.5)
    view = whole.with_zoom(0.5, 350, 200)
    screen = QImage(1400, 1000, QImage.Format.Format_RGB32)
    screen.setDevicePixelRatio(2.0)
    painter = QPainter(screen)
    hand.view._painter.paint(painter, view, 2.0, None)
    painter.end()
    left, top = round(2 * view.left), round(2 * view.top)
    shown = screen.copy(QRect(max(0, left), 0, 1080, 1000))
    wanted = frame(hand).copy(QRect(0, -top, 1080, 1000))
    assert left > 0 > top
    assert (pixels(shown) == pixels(wanted)).all()


def test_panning_and_coming_back_shows_the_same(hand):
    hand.look_at(3.0, (540, 900))
    before = pixels(hand.picture())
    hand.view.framing.pan(QPointF(-130, 70))
    assert (pixels(hand.picture()) != before).any()
    hand.view.framing.pan(QPointF(130, -70))
    assert (pixels(hand.picture()) == before).all()


@pytest.mark.parametrize("zoom", [1.7, 4.0, 24.0])
def test_magnified_a_pixel_is_where_it_belongs(hand, zoom):
    image = QImage(1080, 1920, QImage.Format.Format_RGB32)
    image.fill(QColor("black"))
    image.setPixelColor(540, 900, QColor("white"))
    hand.view._painter.show_picture(image)
    hand.look_at(zoom, (540.5, 900.5))
    light = pixels(hand.picture())[..., 0].astype(float)
    height = int(hand.viewport.area[1])
    rows, columns = np.indices(light[:height].shape)
    total = light[:height].sum()
    x = (columns + 0.5)[..., :].ravel() @ light[:height].ravel() / total
    y = (rows + 0.5).ravel() @ light[:height].ravel() / total
    assert hand.viewport.to_picture(x, y) == pytest.approx((540.5, 900.5), abs=0.1)


def test_made_smaller_the_picture_keeps_its_brightness_and_its_edges(hand):
    view, frame_now = hand.viewport, pixels(frame(hand))
    box = QRect(round(view.left), 0, round(view.size[0]), round(view.size[1]))
    shown = grab(hand, box.adjusted(0, 0, 0, -1))
    assert shown.mean() == pytest.approx(frame_now.mean(), abs=1.5)
    around = hand.picture().pixelColor(5, 5)
    assert around == palette().colour("well")
    assert hand.picture().pixelColor(box.left() - 2, 300) == palette().colour("well")


def test_a_rough_picture_fills_the_place_of_the_frame(hand):
    small = QImage(54, 96, QImage.Format.Format_RGB32)
    small.fill(QColor("#336699"))
    hand.state.feed.pictured.emit(3, small, False)
    assert not hand.view.model.is_ready
    box = hand.view.framing.picture_box
    for x in (box.left() + 2, box.center().x(), box.right() - 3):
        for y in (3, box.center().y(), box.bottom() - 3):
            assert hand.picture().pixelColor(int(x), int(y)) == QColor("#336699")


def test_a_drag_through_the_clip_that_ends_where_it_began_shows_its_frame_again(hand):
    hand.state.feed.pictured.emit(3, QImage(54, 96, QImage.Format.Format_RGB32), False)
    hand.state.playhead.go_to(0)
    hand.ready()
    assert hand.view.model.index == 0


def test_a_shorter_clip_after_a_longer_one_shows_its_first_frame(qapp, tmp_path, monkeypatch):
    asked, exact = [], FrameFeed.exact
    monkeypatch.setattr(
        FrameFeed, "exact", lambda feed, index: (asked.append(index), exact(feed, index))
    )
    long, short = (make_clip(tmp_path / f"{s}.mp4", seconds=s) for s in (1.0, 0.2))
    with stage_with(long) as hand:
        hand.go_to(29)
        asked.clear()
        assert hand.state.open(short)
        hand.ready()
        assert hand.view.model.index == 0
        box = hand.view.framing.picture_box
        assert hand.picture().pixelColor(box.center().toPoint()) != palette().colour("well")
    assert asked and max(asked) < 6, "nothing was asked for that the clip doesn't have"


def test_without_a_clip_there_is_only_the_ground(qapp):
    view = StageView(DeskState())
    view.resize(300, 200)
    shown = pixels(view.grab().toImage())
    ground = palette().colour("ground")
    assert (shown == [ground.red(), ground.green(), ground.blue()]).all()


def test_a_preview_stands_in_place_of_clip_and_marks(hand):
    hand.put(note(1, start_us=0, end_us=200_000, marks=(KNEE,)))
    before = pixels(hand.picture())
    image = QImage(100, 200, QImage.Format.Format_RGB32)
    image.fill(QColor("#884422"))
    hand.view.preview_image(image)
    shown = hand.picture()
    middle = hand.view.width() // 2
    column = {shown.pixelColor(middle, y).name() for y in range(3, int(hand.viewport.area[1]) - 3)}
    assert column == {"#884422"}
    hand.pull((430, 700), (500, 800))
    assert hand.mark == KNEE, "what can't be seen can't be moved"
    hand.view.preview_image(None)
    assert (pixels(hand.picture()) == before).all()


# -- marks --------------------------------------------------------------------------------------


def exported(hand: StageHand, note_id: str, is_still: bool) -> Pixels:
    """The frame with the marks of a note as the exported video has them, without caption."""
    clip, review = hand.state.clip, hand.review
    plan = plan_export(review, clip)
    overlay = Scene(review, plan.timeline, plan.cues, plan.readings).overlay(
        Shown(note_id, None, is_still)
    )
    image = frame(hand).convertToFormat(QImage.Format.Format_RGB32)
    box = paint_overlay(overlay, Sizes(1080, 1920), (1.0, 1.0), (1080, 1920))
    assert box is not None
    height, width = box.rgba.shape[:2]
    layer = QImage(
        np.ascontiguousarray(box.rgba).tobytes(),
        width,
        height,
        4 * width,
        QImage.Format.Format_RGBA8888_Premultiplied,
    )
    painter = QPainter(image)
    painter.drawImage(box.left, box.top, layer)
    painter.end()
    return pixels(image)


@pytest.mark.parametrize(
    "text",
    ["", "Your knees are wide open at the start: the shin leans away from you. " * 3],
    ids=["without text", "with captions"],
)
@pytest.mark.parametrize("marks", [every_mark(), (KNEE,)], ids=["every type", "one"])
def test_marks_are_those_of_the_exported_video(hand, marks, text):
    labelled = tuple(msgspec.structs.replace(mark, label=f"this is {mark.id}") for mark in marks)
    one = note(1, start_us=0, end_us=200_000, kind="try", text=text, marks=labelled)
    hand.put(one, plumb=PlumbLine(top=Point(210, 0), bottom=Point(200, 400)))
    hand.state.choose("n1")
    for middle in ((540, 400), (540, 1500)):
        hand.look_at(1.0, middle)
        part, source = seen_part(hand)
        rows = slice(source.top(), source.top() + source.height())
        wanted = exported(hand, "n1", True)[rows, source.left() : source.left() + source.width()]
        difference = np.abs(grab(hand, part) - wanted)
        assert difference.max() <= 3, np.argwhere(difference > 3)[:5]
    assert (exported(hand, "n1", True) != pixels(frame(hand))).any()


def test_off_its_frame_a_number_is_not_shown_but_an_arrow_is(hand):
    arrow = Arrow(id="a", tail=Point(200, 300), head=Point(400, 500))
    one = note(1, start_us=0, end_us=300_000, marks=(KNEE, arrow))
    hand.put(one)
    hand.state.choose("n1")

    def is_painted(at: tuple[float, float]) -> bool:
        bare = frame(hand, hand.state.playhead.index).pixelColor(int(at[0]), int(at[1]))
        place = hand.on_stage(at).toPoint()
        shown = hand.picture().pixelColor(place)
        return max(abs(shown.red() - bare.red()), abs(shown.blue() - bare.blue())) > 40

    hand.look_at(1.0, (500, 700))
    assert is_painted((535, 730)) and is_painted((300, 400))
    hand.go_to(4)
    assert not is_painted((535, 730)) and is_painted((300, 400))
    hand.go_to(11)
    assert not is_painted((535, 730)) and not is_painted((300, 400))


def test_close_up_lines_do_not_grow_with_the_picture(hand):
    """Else a line at 8 times would hide 60 pixels of the place that it is to be put on."""
    line = Line(id="l", a=Point(100, 900.5), b=Point(900, 900.5), colour="yellow")
    hand.put(note(1, start_us=0, end_us=0, marks=(line,)))

    def thickness(zoom: float) -> float:
        hand.look_at(zoom, (500, 900.5))
        at = hand.on_stage((500, 900.5)).toPoint()
        column = [hand.picture().pixelColor(at.x(), y) for y in range(at.y() - 60, at.y() + 60)]
        return sum(is_yellow(colour) for colour in column)

    def is_yellow(colour: QColor) -> bool:
        return abs(colour.red() - 0xF0) + abs(colour.green() - 0xE4) + abs(colour.blue() - 0x42) < 9

    own = Sizes(1080, 1920).line("normal")
    assert thickness(0.5) == pytest.approx(own * 0.5, abs=2.1)
    assert thickness(1.0) == pytest.approx(own, abs=2.1)
    assert thickness(4.0) == pytest.approx(own, abs=2.1)
    assert thickness(12.0) == pytest.approx(own, abs=2.1)


def test_close_up_a_mark_is_still_where_it_belongs(hand):
    line = Line(id="l", a=Point(100, 900.25), b=Point(900, 900.25), colour="yellow")
    hand.put(note(1, start_us=0, end_us=0, marks=(line,)))
    hand.look_at(12.0, (500, 900.25))
    at = hand.on_stage((500, 900.25))
    image = hand.picture()
    yellow = [
        y + 0.5
        for y in range(int(at.y()) - 40, int(at.y()) + 40)
        if image.pixelColor(int(at.x()), y).lightness() > 120
        and image.pixelColor(int(at.x()), y).blue() < 90
    ]
    assert np.mean(yellow) == pytest.approx(at.y(), abs=0.75)


def test_of_many_marks_only_those_on_the_frame_are_painted(hand, monkeypatch):
    counts = []
    paint_marks = mark_layer.paint_marks
    monkeypatch.setattr(
        mark_layer,
        "paint_marks",
        lambda painter, marks, *rest, **named: (
            counts.append(len(marks)),
            paint_marks(painter, marks, *rest, **named),
        ),
    )
    marks = tuple(Line(id=f"m{i}", a=Point(10 * i, 0), b=Point(10 * i, 900)) for i in range(5))
    far = int(hand.state.clip.times_us[9])
    notes = [note(i, start_us=far, end_us=far, marks=marks) for i in range(1998)]
    here = [note(2000 + i, start_us=0, end_us=0, marks=marks) for i in range(2)]
    hand.put(*notes, *here)
    hand.picture()
    assert sum(counts) == 10
    counts.clear()
    hand.picture()
    hand.hover((700, 700))
    hand.picture()
    assert counts == [], "nothing that stays the same is painted again"
    hand.view.framing.fit()
    hand.go_to(3)
    hand.picture()
    assert counts == []


# -- the loupe ----------------------------------------------------------------------------------


def loupe_colour_at(hand: StageHand, place, by) -> QColor:
    """What the loupe shows ``by`` picture pixels from a place, at any of its four positions."""
    zoom = hand.viewport.zoom
    painter = hand.view._painter
    at = hand.on_stage(place)
    side = 9.5 * _text_height()
    direction = painter.loupe_place._direction
    scale = scale_in_loupe(zoom)
    x = at.x() + direction[0] * 0.54 * round(side) + by[0] * scale
    y = at.y() + direction[1] * 0.54 * round(side) + by[1] * scale
    return hand.picture().pixelColor(int(x), int(y))


def _text_height() -> float:
    return look().text_height


def test_the_loupe_shows_the_frame_round_the_point_magnified(hand):
    image = QImage(1080, 1920, QImage.Format.Format_RGB32)
    image.fill(QColor("#102030"))
    painter = QPainter(image)
    painter.fillRect(520, 880, 41, 41, QColor("#C01020"))
    painter.fillRect(560, 880, 40, 41, QColor("#10C020"))
    painter.end()
    hand.view._painter.show_picture(image)
    hand.take("joint")
    hand.hover((540.5, 900.5))
    looks_at = hand.view.pointer.hand.looks_at
    assert (looks_at.x, looks_at.y) == pytest.approx((540.5, 900.5), abs=0.01)
    for by, name in (
        ((-12, -12), "#c01020"),
        ((12, 12), "#c01020"),
        ((30, -10), "#10c020"),
        ((-30, 10), "#102030"),
        ((10, 30), "#102030"),
    ):
        assert loupe_colour_at(hand, (540.5, 900.5), by).name() == name, by


def test_the_loupe_comes_only_while_a_place_is_looked_for(hand):
    hand.put(note(1, start_us=0, end_us=0, marks=(KNEE,)))
    hand.state.choose("n1", "knee")
    looks = []

    def look() -> None:
        looks.append(hand.view.keys.looks_at or hand.view.pointer.hand.looks_at)

    hand.hover((640, 760))
    look()
    assert looks == [None], "not while nothing is held"
    hand.press((640, 760))
    look()
    hand.drag((700, 800))
    look()
    assert looks[1] is not None and abs(looks[2].x - 700) < 0.5
    hand.release((700, 800))
    look()
    assert looks[3] is None
    hand.take("ring")
    hand.hover((300, 300))
    look()
    assert looks[4] is None, "a ring needs no exact place before it is begun"
    hand.take("joint")
    hand.hover((300, 300))
    look()
    assert looks[5] is not None


def test_beside_the_loupe_the_number_is_shown_once(hand):
    hand.put(note(1, start_us=0, end_us=0, marks=(KNEE,)))
    hand.state.choose("n1", "knee")
    model = hand.view.model
    assert model.notes()[0].marks[0].reading == model.number(KNEE)
    hand.press((640, 760))
    hand.drag((700, 800))
    moved = hand.mark
    assert model.sight(moved.vertex).number == model.number(moved) != model.number(KNEE)
    assert model.notes_beside_loupe()[0].marks[0].reading is None
    hand.release((700, 800))


def test_the_live_number_follows_the_hand(hand):
    hand.take("joint")
    hand.click((430, 700))
    hand.click((640, 760))
    numbers = set()
    for y in (900, 950, 1000):
        hand.hover((600, y))
        numbers.add(hand.view.model.sight(Point(600, y)).number)
    assert len(numbers) >= 2 and all(number.startswith("Knee flexion") for number in numbers)
    hand.click((600, 1000))
    note_id = hand.notes[0].id
    assert edit.mark_of(hand.review, note_id, hand.mark.id) == hand.mark
