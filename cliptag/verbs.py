"""What each verb of the command line does; every function gives the exit code."""

from __future__ import annotations

import dataclasses
import datetime as dt
import sys
from argparse import Namespace
from fractions import Fraction
from pathlib import Path
from typing import Any, Literal

import rich
from rich.table import Table

from cliptag.casebook_due import export_due
from cliptag.clip import Clip, cautions_of, open_clip
from cliptag.comparing import compare
from cliptag.covering import cover
from cliptag.demo import demo_review
from cliptag.errors import CaptionError
from cliptag.export import (
    ExportOptions,
    Prediction,
    TakeHome,
    check_vtt,
    export_take_home,
    prediction_words,
)
from cliptag.guiding import guide
from cliptag.intake_table import intake_facts, print_intake
from cliptag.measuring import measure
from cliptag.methods import method
from cliptag.printing import clock_words, print_json, size_words
from cliptag.working import working

__all__ = ["check", "compare", "cover", "demo", "export", "guide", "inspect", "measure", "method"]

DONE, COULD_NOT = 0, 1


def demo(options: Namespace) -> int:
    """Make the take-home of the demo clip."""
    return _take_home(demo_review(), options.out, ExportOptions(), options.json)


def export(options: Namespace) -> int:
    """Make the take-home of a review, or of all that are due."""
    wishes = ExportOptions(
        source_time=options.source_time,
        full_size=options.full_size,
        language=options.language,
        purpose=options.purpose,
        most_mb=options.mb,
        clean=options.clean,
        shown_for=options.shown_for,
        cover_style="solid" if options.solid else "blur",
        mute=options.mute,
    )
    if options.all_due:
        return export_due(options, wishes)
    return _take_home(options.review, options.out, wishes, options.json)


def _take_home(review_path: Path, out_dir: Path, wishes: ExportOptions, as_json: bool) -> int:
    with working("Making the take-home") as work:
        made = export_take_home(
            review_path,
            out_dir,
            work.advance,
            options=wishes,
            is_cancelled=work.is_stopped,
            on_predicted=_tell_size,
        )
    for sentence in made.advice:
        print(f"cliptag: {sentence}", file=sys.stderr)
    if as_json:
        print_json(_take_home_facts(made))
        return DONE
    print(f"Wrote the take-home to {made.folder}:")
    for file in made.files:
        print(f"  {file.name:<22} {size_words(file.stat().st_size)}")
    print(f"The video lasts {clock_words(made.duration_us)} and has {made.cue_count} captions.")
    return DONE


def _tell_size(predicted: Prediction) -> None:
    width, height = predicted.size
    print(
        f"cliptag: {prediction_words(predicted)}, with a picture of {width} x {height}.",
        file=sys.stderr,
    )


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
        "predicted_bytes": made.predicted.size_bytes if made.predicted else None,
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
            if options.intake:
                facts["intake"] = intake_facts(clip, options.language)
            print_json(facts)
            return DONE
        table = Table(title=clip.path.name, show_header=False, title_justify="left")
        for name, value in _facts_for_people(clip):
            table.add_row(name, value)
        rich.print(table)
        if options.intake:
            print_intake(clip, options.language)
        else:
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
            ("length", f"{clock_words(info.duration_us)} ({info.frame_count} frames)"),
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
        ("file", size_words(info.size_bytes)),
    ]
    return facts


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
        print_json({"is_sound": not faults, "findings": found})
    else:
        for finding in findings:
            print(f"{options.file}:{finding.line}: {finding.severity}: {finding.sentence}")
        print("Not sound." if faults else "Sound WebVTT.", f"{len(findings)} remarks.")
    return COULD_NOT if faults else DONE


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
