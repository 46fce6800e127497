"""Take the pictures of the desk for the user guide: python docs/take_pictures.py

Uses the desk as a coach would, on a screen without a monitor. Needs Linux, Xvfb and xdotool.
"""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import av
from PIL import Image

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "tests"))

from support.screen import Picture, Place, Program, Screen, screen_of, until  # noqa: E402
from support.truth import read_truth  # noqa: E402

from cliptag.desk.demo_copy import copy_demo  # noqa: E402
from cliptag.measure import BODY_CHAIN  # noqa: E402

SIZE = (1280, 800)
TRUTH = read_truth("sit_to_stand_week01")
START_FRAME = 8


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, screen_of(Path(folder), SIZE) as screen:
        clip = Path(folder) / "Clips" / "ines.mp4"
        clip.parent.mkdir()
        shutil.copyfile(TRUTH.path, clip)
        prefer(Path(folder), scheme="light")
        first_start(screen)
        review_the_clip(screen, clip)
        follow_points(screen, clip)
        finished = copy_demo(Path(folder) / "Clips")
        finished_review(screen, finished)
        covered_face(screen, finished)
        followed_movement(screen, Path(folder) / "Clips")
        two_reviews(screen, Path(folder) / "Clips")
        prefer(Path(folder), scheme="dark")
        finished_review_in_the_dark(screen, finished)


def first_start(screen: Screen) -> None:
    desk = screen.start()
    desk.fill_screen(desk.wait_for_title("^cliptag$"))
    take(screen, "empty")
    leave(desk)


def review_the_clip(screen: Screen, clip: Path) -> None:
    desk = screen.start(clip)
    desk.fill_screen(desk.wait_for_title("ines.mp4"))
    take(screen, "open")
    desk.press("ctrl+m", "Return", "i")
    desk.type("You get up without hands and without hurry, and that is a fine start.")
    desk.press("Escape", "Home", *["Right"] * START_FRAME, "u", "n")
    desk.type("Your feet stand well in front of your knees.")
    desk.press("Escape", "r")
    place = until(lambda: screen.find(picture(START_FRAME)), "the picture")
    heel, toe = point("heel"), point("toe")
    corners = (heel[0] - 70, heel[1] - 120), (toe[0] + 70, toe[1] + 70)
    desk.drag(*(place.on_screen(*corner) for corner in corners))
    take(screen, "note")
    desk.press("Escape", "Escape", "u", "f", "u", "n")
    desk.type("Your knees are wide open at the start.")
    desk.press("Escape", "j")
    measure_the_knee(screen, desk, place)
    desk.press("Escape", "Escape", "u", "f", "u", "f", "u", "f")
    for moment in TRUTH.data["moments"]:
        desk.press("g")
        desk.type(f"{moment['time_us'] / 1e6 + 0.003:.3f}")
        desk.press("Return", "m")
    take(screen, "moments")
    desk.press("ctrl+e")
    time.sleep(4)
    write(screen.pixels(), "making")
    until((clip.parent / "ines take-home" / "commentary.mp4").exists, "the take-home", 200.0)
    time.sleep(1)
    take(screen, "ready")
    leave(desk)


def follow_points(screen: Screen, clip: Path) -> None:
    desk = screen.start(clip)
    desk.fill_screen(desk.wait_for_title("ines.mp4"))
    desk.press("Home", *["Right"] * START_FRAME, "k")
    place = until(lambda: screen.find(picture(START_FRAME)), "the picture")
    for name in BODY_CHAIN:
        desk.click(*place.on_screen(*point(name)))
    time.sleep(2)
    write(screen.pixels(), "points")
    leave(desk)


def measure_the_knee(screen: Screen, desk: Program, place: Place) -> None:
    for name in ("hip", "knee"):
        desk.click(*place.on_screen(*point(name)))
    x, y = place.on_screen(*point("ankle"))
    screen.xdotool("mousemove", x - 6, y - 6, "sleep", 0.1, "mousemove", x, y)
    take(screen, "measuring")
    desk.click(x, y)


def finished_review(screen: Screen, review: Path) -> None:
    desk = screen.start(review)
    desk.fill_screen(desk.wait_for_title("sit_to_stand"))
    desk.press("question")
    take(screen, "keys")
    desk.press("Escape", "ctrl+comma")
    take(screen, "preferences")
    desk.press("Escape", "ctrl+i")
    take(screen, "about")
    desk.press("Escape", *["ctrl+Right"] * 3, "Escape", "ctrl+p")
    time.sleep(4)
    desk.press("space")
    take(screen, "preview")
    leave(desk)


def covered_face(screen: Screen, review: Path) -> None:
    desk = screen.start(review)
    desk.fill_screen(desk.wait_for_title("sit_to_stand"))
    desk.press("ctrl+h")
    wait_until_followed(screen)
    desk.press("shift+Right", "shift+Right", "h")
    take(screen, "cover")
    desk.press("ctrl+z")
    leave(desk)


def followed_movement(screen: Screen, folder: Path) -> None:
    """The lift with its followed points, and no moment confirmed but the first."""
    for name in ("lift_week01.mp4", "lift_week01.review.json"):
        shutil.copyfile(TRUTH.path.parent / name, folder / name)
    review_path = folder / "lift_week01.review.json"
    review = json.loads(review_path.read_text("utf-8"))
    review["moments"] = review["moments"][:1]
    review_path.write_text(json.dumps(review), "utf-8")
    desk = screen.start(review_path)
    desk.fill_screen(desk.wait_for_title("lift_week01"))
    desk.press("ctrl+shift+m")
    wait_until_followed(screen)
    desk.press("Home", *["alt+Right"] * 2, *["Right"] * 12)
    take(screen, "movement")
    desk.press("Escape", "ctrl+r")
    screen.still()
    desk.press("Tab")
    desk.type("12")  # kg, then past what is measured to how often, how long and the grip
    desk.press(*["Tab"] * 5)
    desk.type("1")
    desk.press("Tab", "Down", "Tab", "Down", "Down", *["shift+Tab"] * 8)
    take(screen, "methods")
    leave(desk)


def wait_until_followed(screen: Screen, quiet_s: float = 8.0) -> None:
    """Until nothing on the screen has moved for some time: the progress of following does."""
    before, since = screen.pixels(), time.monotonic()
    while time.monotonic() - since < quiet_s:
        time.sleep(0.5)
        now = screen.pixels()
        if (now != before).any():
            before, since = now, time.monotonic()


def two_reviews(screen: Screen, folder: Path) -> None:
    """Weeks 1 and 10 of the lift side by side, with a note and a goal; then over each other."""
    for week in ("01", "10"):
        for ending in ("mp4", "review.json"):
            name = f"lift_week{week}.{ending}"
            shutil.copyfile(TRUTH.path.parent / name, folder / name)
    desk = screen.start(*(folder / f"lift_week{week}.review.json" for week in ("01", "10")))
    desk.fill_screen(desk.wait_for_title("lift_week01 and lift_week10", 240.0))
    desk.press("Home", "alt+Right", "alt+Right", "n")
    desk.type("Here the crate leaves the floor: your hips go down to it now, not your back.")
    desk.press("Escape", "2", "Escape", "t", "Down", "alt+Down")
    wait_until_followed(screen, 3.0)
    take(screen, "two-reviews")
    desk.press("Escape", "Escape", "l", "l", "shift+t", "Down")
    wait_until_followed(screen, 3.0)
    take(screen, "two-over")
    leave(desk)


def finished_review_in_the_dark(screen: Screen, review: Path) -> None:
    desk = screen.start(review)
    desk.fill_screen(desk.wait_for_title("sit_to_stand"))
    desk.press(*["ctrl+Right"] * 6)
    take(screen, "dark")
    leave(desk)


def leave(desk: Program) -> None:
    desk.press("ctrl+q")
    desk.end()


def prefer(home: Path, **choices: Any) -> None:
    file = home / "xdg_config_home" / "cliptag" / "preferences.json"
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(json.dumps({"coach": "Mara Quell", **choices}))


def picture(index: int) -> Any:
    with av.open(str(TRUTH.path)) as container:
        for number, frame in enumerate(container.decode(video=0)):
            if number == index:
                return frame.to_ndarray(format="rgb24")
    raise IndexError(index)


def point(name: str) -> tuple[float, float]:
    place = TRUTH.point(name)[START_FRAME]
    return float(place.real), float(place.imag)


def take(screen: Screen, name: str) -> None:
    """Write what is on the screen once nothing on it moves."""
    write(screen.still(), name)


def write(pixels: Picture, name: str) -> None:
    """Write a PNG of 256 colours; the rare ones, which tell kinds apart, are kept."""
    few = Image.fromarray(pixels).quantize(
        256, Image.Quantize.MAXCOVERAGE, kmeans=1, dither=Image.Dither.NONE
    )
    few.save(HERE / "pictures" / f"desk-{name}.png", optimize=True)


if __name__ == "__main__":
    main()
