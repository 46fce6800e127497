"""What each verb of the command line does; every function gives the exit code."""

from __future__ import annotations

import contextlib
import csv
import dataclasses
import datetime as dt
import io
import json
import signal
import sys
import threading
from argparse import Namespace
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any, Literal

import rich
from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table

from cliptag.clip import Clip, cautions_of, open_clip
from cliptag.demo import demo_review
from cliptag.errors import CaptionError, MeasureError
from cliptag.export import ExportOptions, TakeHome, check_vtt, export_take_home
from cliptag.files import write_bytes
from cliptag.measure import Reading, readings_of, unmeasured
from cliptag.review import KIND_WORDS, REGION_WORDS, Review, load_review

DONE, COULD_NOT = 0, 1


def demo(options: Namespace) -> int:
    """Make the take-home of the demo clip."""
    return _take_home(demo_review(), options.out, ExportOptions(), options.json)


def export(options: Namespace) -> int:
    """Make the take-home of a review."""
    wishes = ExportOptions(source_time=options.source_time, full_size=options.full_size)
    return _take_home(options.review, options.out, wishes, options.json)


def _take_home(review_path: Path, out_dir: Path, wishes: ExportOptions, as_json: bool) -> int:
    console = Console(stderr=True)
    with (
        _stop_on_ctrl_c() as is_stopped,
        Progress(
            TextColumn("{task.description}"),
            BarColumn(),
            TimeRemainingColumn(),
            console=console,
            disable=not console.is_terminal,
        ) as bar,
    ):
        task = bar.add_task("Making the take-home", total=1.0)
        made = export_take_home(
            review_path,
            out_dir,
            lambda done, _: bar.update(task, completed=done),
            options=wishes,
            is_cancelled=is_stopped,
        )
    for sentence in made.advice:
        print(f"cliptag: {sentence}", file=sys.stderr)
    if as_json:
        _print_json(_take_home_facts(made))
        return DONE
    print(f"Wrote the take-home to {made.folder}:")
    for file in made.files:
        print(f"  {file.name:<22} {_size_words(file.stat().st_size)}")
    print(f"The video lasts {_clock(made.duration_us)} and has {made.cue_count} captions.")
    return DONE


@contextlib.contextmanager
def _stop_on_ctrl_c() -> Iterator[Callable[[], bool]]:
    """Let Ctrl-C ask for the end, so that it can't break in where something is half-made.

    A second Ctrl-C breaks in all the same.
    """
    asked = threading.Event()

    def ask(*_: object) -> None:
        asked.set()
        signal.signal(signal.SIGINT, before)

    before = signal.signal(signal.SIGINT, ask)
    try:
        yield asked.is_set
    finally:
        signal.signal(signal.SIGINT, before)


def _take_home_facts(made: TakeHome) -> dict[str, Any]:
    return {
        "folder": str(made.folder),
        "files": [{"name": f.name, "size_bytes": f.stat().st_size} for f in made.files],
        "duration_us": made.duration_us,
        "width": made.width,
        "height": made.height,
        "frame_count": made.frame_count,
        "cue_count": made.cue_count,
        "advice": list(made.advice),
    }


def inspect(options: Namespace) -> int:
    """Tell what a clip is and what to be careful of."""
    with open_clip(options.clip) as clip:
        cautions = cautions_of(clip)
        if options.json:
            facts = _plain(dataclasses.asdict(clip.info)) | {"digest": clip.digest}
            facts["cautions"] = [dataclasses.asdict(caution) for caution in cautions]
            if options.frames:
                facts["times_us"] = clip.times_us.tolist()
            _print_json(facts)
            return DONE
        table = Table(title=clip.path.name, show_header=False, title_justify="left")
        for name, value in _facts_for_people(clip):
            table.add_row(name, value)
        rich.print(table)
        for caution in cautions:
            print(f"Be careful: {caution.sentence}")
        if options.frames:
            for index, time_us in enumerate(clip.times_us.tolist()):
                print(f"{index}\t{time_us / 1e6:.6f}")
    return DONE


def _facts_for_people(clip: Clip) -> list[tuple[str, str]]:
    info = clip.info
    turn = f"{info.rotation_deg}° clockwise" if info.rotation_deg else "none"
    facts = [("picture", f"{info.width} x {info.height} pixels as displayed")]
    if not info.is_photo:
        rate = "variable" if info.is_variable_rate else "steady"
        facts += [
            ("length", f"{_clock(info.duration_us)} ({info.frame_count} frames)"),
            ("frame rate", f"{rate}, usually {info.nominal_fps:g} a second"),
            ("sound", info.sound_codec or "none"),
        ]
    facts += [
        ("turned for display", turn + (", mirrored" if info.is_mirrored else "")),
        ("codec", f"{info.codec}, {info.pixel_format}, {info.bit_depth} bit"),
        ("colour", f"{info.primaries} / {info.transfer} / {info.matrix}, {info.range} range"),
        ("HDR", info.hdr or "no"),
        ("filmed", f"{info.recorded_at:%Y-%m-%d %H:%M}" if info.recorded_at else "not told"),
        ("tells the place", "yes (a take-home never does)" if info.has_location else "no"),
        ("file", _size_words(info.size_bytes)),
    ]
    return facts


def measure(options: Namespace) -> int:
    """Print every measured number of a review with its uncertainty."""
    review = load_review(options.review)
    readings = readings_of(review)
    for sentence in unmeasured(review):
        print(f"cliptag: {sentence}", file=sys.stderr)
    if options.csv:
        try:
            write_bytes(options.csv, _csv_of(review, readings).encode())
        except OSError as error:
            raise MeasureError(
                f"{options.csv} can't be written: {error.strerror or error}. Choose another place."
            ) from error
    if options.json:
        _print_json({"conventions": _CONVENTIONS, "readings": [_row(review, r) for r in readings]})
    elif not options.csv:
        _print_readings(review, readings)
    return DONE


_CONVENTIONS = (
    "Angles in degrees: knee, hip and elbow flexion are 0 when straight, ankle dorsiflexion is 0 "
    "at a right angle; tilts are from the true vertical, forward positive. standard_uncertainty is "
    "k = 1; texts show k = 2. Lengths hold in the plane of the movement only. One camera can't "
    "show turning towards or away from it. Coaching is not medical diagnosis."
)


def _row(review: Review, reading: Reading) -> dict[str, Any]:
    note = next(note for note in review.notes if note.id == reading.note_id)
    return {
        "time_s": round(reading.at_us / 1e6, 6),
        "region": note.region,
        "name": reading.name,
        "value": round(reading.value, 4),
        "standard_uncertainty": round(reading.sd, 4),
        "unit": reading.unit,
        "text": reading.text,
        "note_id": reading.note_id,
        "mark_id": reading.mark_id,
    }


def _csv_of(review: Review, readings: tuple[Reading, ...]) -> str:
    text = io.StringIO()
    text.write(f"# {_CONVENTIONS}\n")
    names = list(_row(review, readings[0])) if readings else ["time_s"]
    writer = csv.DictWriter(text, names, lineterminator="\n")
    writer.writeheader()
    writer.writerows(_row(review, reading) for reading in readings)
    return text.getvalue()


def _print_readings(review: Review, readings: tuple[Reading, ...]) -> None:
    if not readings:
        print("This review has no measuring marks yet.")
        return
    table = Table(caption=_CONVENTIONS, caption_justify="left")
    for heading in ("time", "region", "what", "kind of note"):
        table.add_column(heading)
    for reading in readings:
        note = next(note for note in review.notes if note.id == reading.note_id)
        words = (_clock(reading.at_us), REGION_WORDS[note.region], reading.text)
        table.add_row(*words, KIND_WORDS[note.kind])
    rich.print(table)


def check(options: Namespace) -> int:
    """Tell whether a WebVTT file is sound and readable; 1 when it is not sound."""
    try:
        data = options.file.read_bytes()
    except OSError as error:
        raise CaptionError(
            f"{options.file} can't be read: {error.strerror or error}. Check the name."
        ) from error
    kind: Literal["captions", "chapters"] = "chapters" if options.chapters else "captions"
    findings = check_vtt(data, kind=kind)
    faults = [finding for finding in findings if finding.severity == "error"]
    if options.json:
        found = [dataclasses.asdict(finding) for finding in findings]
        _print_json({"is_sound": not faults, "findings": found})
    else:
        for finding in findings:
            print(f"{options.file}:{finding.line}: {finding.severity}: {finding.sentence}")
        print("Not sound." if faults else "Sound WebVTT.", f"{len(findings)} remarks.")
    return COULD_NOT if faults else DONE


def _print_json(facts: dict[str, Any]) -> None:
    print(json.dumps(facts, indent=2, ensure_ascii=False))


def _plain(facts: dict[str, Any]) -> dict[str, Any]:
    """Facts with only such values as JSON has."""
    plain = dict(facts)
    for name, value in facts.items():
        if isinstance(value, Fraction):
            plain[name] = str(value)
        elif isinstance(value, dt.datetime):
            plain[name] = value.isoformat()
        elif isinstance(value, Path):
            plain[name] = str(value)
    return plain


def _clock(time_us: int) -> str:
    minutes, seconds = divmod(round(time_us / 1e4) / 100, 60)
    return f"{int(minutes)}:{seconds:05.2f}"


def _size_words(size_bytes: int) -> str:
    if size_bytes < 100_000:
        return f"{size_bytes / 1e3:.1f} kB"
    return f"{size_bytes / 1e6:.1f} MB"
