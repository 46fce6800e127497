"""In nothing that leaves with faces covered is there a face, or where and on what it was filmed."""

from __future__ import annotations

import base64
import datetime as dt
import json
import re
import zlib
from collections.abc import Iterator
from pathlib import Path

import msgspec
import numpy as np
import pytest
from PIL import Image
from support.media import decoded_rgb, ffmpeg
from support.people import FACES, Person, frontal_faces, person, write_person

from cliptag.cli import main
from cliptag.clip import open_clip
from cliptag.cover.faces import FaceFinder
from cliptag.errors import ConsentError, UncoveredError
from cliptag.export import ClientView, ExportOptions, TakeHome, export_take_home
from cliptag.opening import review_path_of, start_review
from cliptag.pairing import Pairing, export_pairing
from cliptag.review import (
    Consent,
    CoverArea,
    CoverKey,
    Note,
    Point,
    Review,
    Ring,
    edit,
    load_review,
    save_review,
)

CONSENT = Consent(
    given_on=dt.date(2026, 1, 2),
    covers=("private_feedback", "face_covered"),
    reference="a signed form",
)
COVERED = ExportOptions(shown_for="face_covered")
SECRETS = ("+52.5200+013.4050", "Fonofabrik", "Taschenfon 7731")
NOTE = Note(
    id="n1",
    region="head",
    kind="seen",
    start_us=200_000,
    end_us=400_000,
    text="The head comes forward.",
    hold_us=500_000,
    marks=(Ring(id="m1", centre=Point(300, 300), radius_x=40, radius_y=40),),
)


def reviewed(folder: Path, who: Person, **fields: object) -> Path:
    """A review of a clip that tells where and on which phone it was filmed."""
    plain = write_person(folder / "plain.mp4", who, count=24)
    clip_path = folder / "clip.mp4"
    place, make, model = SECRETS
    tags = ("-metadata", f"location={place}/", "-metadata", f"make={make}")
    tags += ("-metadata", f"model={model}", "-movflags", "use_metadata_tags")
    ffmpeg("-i", plain, "-c", "copy", *tags, clip_path)
    plain.unlink()
    assert all(secret.encode() in clip_path.read_bytes() for secret in SECRETS)
    with open_clip(clip_path) as clip:
        usual = {"client": "Ines", "consent": CONSENT, "notes": (NOTE,)}
        review = msgspec.structs.replace(start_review(clip), **(usual | fields))
    path = review_path_of(clip_path)
    save_review(review, path)
    return path


def everything_in(file: Path) -> Iterator[bytes]:
    """A file's bytes, what is packed in a PDF, and the pictures within a page."""
    data = file.read_bytes()
    yield data
    for packed in re.findall(rb"stream\r?\n(.*?)endstream", data, re.DOTALL):
        try:
            yield zlib.decompressobj().decompress(packed)
        except zlib.error:
            yield packed
    for packed in re.findall(rb"base64,([A-Za-z0-9+/=]+)", data):
        yield base64.b64decode(packed)


@pytest.fixture(scope="module", params=["astronaut", "cameraman"])
def made(request, tmp_path_factory: pytest.TempPathFactory) -> tuple[Person, TakeHome, Path]:
    folder = tmp_path_factory.mktemp(request.param)
    path = reviewed(folder, request.param)
    return request.param, export_take_home(path, folder / "out", options=COVERED), path


def test_no_detector_finds_a_face_in_the_exported_video(made):
    who, take_home, _ = made
    x, y, _, _ = FACES[who]
    finder = FaceFinder()
    video = decoded_rgb(take_home.folder / "commentary.mp4", take_home.width, take_home.height)
    assert len(video) == take_home.frame_count
    for picture in video[::10]:
        assert not finder.find(picture, 0.4)
        assert frontal_faces(picture, x, y) == 0
    assert finder.find(person(who), 0.5), "the same detector knows the person uncovered"


def test_nor_in_any_picture_on_the_page(made):
    _, take_home, path = made
    finder = FaceFinder()
    page = (take_home.folder / "index.html").read_text("utf-8")
    pictures = re.findall(r"base64,([A-Za-z0-9+/=]+)", page)
    opened = []
    for packed in pictures:
        data = base64.b64decode(packed)
        if data[:4] == b"RIFF":
            (path.parent / "still.webp").write_bytes(data)
            opened.append(np.asarray(Image.open(path.parent / "still.webp").convert("RGB")))
    assert opened
    assert not any(finder.find(picture, 0.4) for picture in opened)


def test_place_and_phone_are_in_no_file(made):
    _, take_home, _ = made
    for file in take_home.files:
        for data in everything_in(file):
            for secret in (*SECRETS, "52.5200", "13.4050"):
                assert secret.encode() not in data, (file.name, secret)
                assert secret.encode("utf-16-be") not in data, (file.name, secret)


def test_place_and_phone_of_a_photo_are_in_no_file(tmp_path: Path):
    photo = tmp_path / "clip.jpg"
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = SECRETS[1:]
    gps = exif.get_ifd(0x8825)
    gps[1], gps[2] = "N", (52.0, 31.0, 12.0)
    gps[29] = "2026:01:02"
    Image.fromarray(person("astronaut")).save(photo, exif=exif, quality=90)
    assert SECRETS[1].encode() in photo.read_bytes()
    with open_clip(photo) as clip:
        assert clip.info.has_location
        review = msgspec.structs.replace(
            start_review(clip), consent=CONSENT, notes=(NOTE,), recorded_on=None
        )
    path = save_review(review, review_path_of(photo))
    for file in export_take_home(path, tmp_path / "out", options=COVERED).files:
        for data in everything_in(file):
            for secret in (*SECRETS[1:], "2026:01:02", "Exif\0\0"):
                assert secret.encode() not in data, (file.name, secret)


def test_in_a_comparison_both_faces_are_covered_and_nobody_is_named(tmp_path: Path):
    paths = []
    for week in (1, 2):
        folder = tmp_path / f"week{week}"
        folder.mkdir()
        paths.append(str(reviewed(folder, "astronaut", week=week, facing="right")))
    pairing = Pairing(reviews=tuple(paths))
    made = export_pairing(pairing, tmp_path / "out", options=COVERED)
    finder = FaceFinder()
    video = decoded_rgb(made.folder / "comparison.mp4", made.width, made.height)
    assert not any(finder.find(picture, 0.4) for picture in video[::12])
    for file in made.files:
        for data in everything_in(file):
            assert b"Ines" not in data, file.name
            if data[:4] == b"RIFF" or data[:2] == b"\xff\xd8":
                (tmp_path / "still").write_bytes(data)
                still = np.asarray(Image.open(tmp_path / "still").convert("RGB"))
                assert not finder.find(still, 0.4), file.name
    with pytest.raises(ConsentError, match="no consent for being shown openly"):
        export_pairing(pairing, tmp_path / "open", options=ExportOptions(shown_for="public"))


def test_the_client_whose_face_is_covered_is_not_named(made):
    _, take_home, _ = made
    for file in take_home.files:
        for data in everything_in(file):
            assert b"Ines" not in data and "Ines".encode("utf-16-be") not in data, file.name


def test_while_a_face_may_be_open_nothing_is_written(tmp_path: Path):
    path = reviewed(tmp_path, "astronaut")
    clip = tmp_path / "clip.mp4"
    ffmpeg("-f", "lavfi", "-i", "testsrc2=s=128x96:d=1", clip)  # nobody to be found in it
    with open_clip(clip) as opened:
        review = msgspec.structs.replace(start_review(opened), consent=CONSENT, notes=(NOTE,))
    save_review(review, path)
    with pytest.raises(UncoveredError, match=r"0\.0 to .* no face was found.*page Cover"):
        export_take_home(path, tmp_path / "out", options=COVERED)
    assert not (tmp_path / "out").exists()
    save_review(edit.with_cover_checked(load_review(path), 0, 1_000_000), path)
    assert export_take_home(path, tmp_path / "out", options=COVERED).files


def test_the_preview_shows_what_the_file_will_show(made):
    path = made[2]
    review = load_review(path)
    finder = FaceFinder()
    with open_clip(path.parent / "clip.mp4") as clip:
        view = ClientView(clip, review, COVERED)
        for index in range(0, len(view), 12):
            assert not finder.find(view.picture(index), 0.4)
        view.close()
        open_view = ClientView(clip, review)
        assert any(finder.find(open_view.picture(i), 0.5) for i in range(0, len(open_view), 12))
        open_view.close()


def test_what_nobody_shall_see_is_gone_from_private_feedback_too(tmp_path: Path):
    area = CoverArea(
        id="badge",
        what="other",
        keys=(CoverKey(at_us=0, centre=Point(256, 256), radius_x=400, radius_y=400),),
    )
    path = reviewed(tmp_path, "astronaut", covers=(area,), notes=())
    take_home = export_take_home(path, tmp_path / "out")
    video = decoded_rgb(take_home.folder / "commentary.mp4", take_home.width, take_home.height)
    finder = FaceFinder()
    assert not any(finder.find(picture, 0.4) for picture in video[::4])
    uncovered = edit.without_cover(load_review(path), "badge")
    with open_clip(tmp_path / "clip.mp4") as clip:
        view = ClientView(clip, uncovered)
        assert any(finder.find(view.picture(i), 0.5) for i in range(0, len(view), 4))
        view.close()


def test_a_mute_video_is_silent(tmp_path: Path):
    loud, path = tmp_path / "loud.mp4", reviewed(tmp_path, "astronaut", notes=())
    ffmpeg(
        *("-i", tmp_path / "clip.mp4", "-f", "lavfi", "-i", "sine=f=440:d=0.8", "-c:v", "copy"),
        loud,
    )
    loud.replace(tmp_path / "clip.mp4")
    with open_clip(tmp_path / "clip.mp4") as clip:
        save_review(msgspec.structs.replace(start_review(clip), consent=CONSENT), path)
    loudest = {}
    for is_mute in (False, True):
        out = tmp_path / f"out-{is_mute}"
        export_take_home(path, out, options=ExportOptions(mute=is_mute))
        ffmpeg("-i", out / "commentary.mp4", "-f", "s16le", out / "sound.raw")
        loudest[is_mute] = int(np.abs(np.fromfile(out / "sound.raw", "<i2").astype(int)).max())
    assert loudest[False] > 1000
    assert loudest[True] < 10


def test_words_that_name_the_client_are_told_of(tmp_path: Path):
    note = msgspec.structs.replace(NOTE, text="Ines, your head comes forward.")
    path = reviewed(tmp_path, "cameraman", notes=(note,))
    take_home = export_take_home(path, tmp_path / "out", options=COVERED)
    assert any("your words name Ines" in sentence for sentence in take_home.advice)


def test_the_command_lists_what_is_in_doubt_and_takes_the_coachs_word(tmp_path: Path, capsys):
    path = reviewed(tmp_path, "astronaut")
    ffmpeg("-f", "lavfi", "-i", "testsrc2=s=128x96:d=1", tmp_path / "clip.mp4")
    with open_clip(tmp_path / "clip.mp4") as clip:
        save_review(Review(clip=start_review(clip).clip), path)
    assert main(["cover", str(path)]) == 0
    assert "no face was found" in capsys.readouterr().out
    pictures = tmp_path / "look"
    assert main(["cover", str(path), "--check", "--json", "--pictures", str(pictures)]) == 1
    facts = json.loads(capsys.readouterr().out)
    assert facts["doubts"][0]["why"] == "nobody" and facts["covered_frames"] == 0
    assert all(Image.open(file).getexif() == {} for file in pictures.iterdir())
    assert len(list(pictures.iterdir())) == 3
    assert main(["cover", str(path), "--check", "--fine", "0-1"]) == 0
    assert load_review(path).cover_checked
    assert main(["cover", str(path), "--check"]) == 0
