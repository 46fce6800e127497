"""The rooms' imports run one way, and Qt stays in the rooms that draw."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "cliptag"

MAY_IMPORT: dict[str, set[str]] = {
    "clip": set(),
    "review": set(),
    "measure": {"review"},
    "words": {"review"},
    "voice": {"review"},
    "paint": {"review", "words"},
    "cover": {"measure", "review", "clip"},
    "intake": {"cover", "words", "clip"},
    "guide": {"words", "paint", "review"},
    "export": {
        "consent",
        "cover",
        "voice",
        "words",
        "paint",
        "measure",
        "review",
        "clip",
        "opening",
    },
    "pairing": {"consent", "words", "opening", "export", "paint", "measure", "review", "clip"},
    "casebook": {"consent", "words", "opening", "export", "paint", "measure", "review", "clip"},
    "desk": {
        "cover",
        "intake",
        "consent",
        "words",
        "opening",
        "export",
        "voice",
        "paint",
        "measure",
        "review",
        "clip",
        "pairing",
        "casebook",
        "demo",
        "lesson",
    },
}
FREE_FOR_ALL = {"errors", "files", "bug_log", "times"}
DRAWING_ROOMS = {"paint", "desk"}
ROOMS = sorted(room for room in MAY_IMPORT if (PACKAGE / room).is_dir())


def imports_of(file: Path) -> set[str]:
    """The full names of all modules that a file imports."""
    names = set()
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file}: relative import"
            names.add(node.module or "")
            names.update(f"{node.module}.{alias.name}" for alias in node.names)
    return names


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_imports_only_the_rooms_below_it(room: str):
    for file in (PACKAGE / room).rglob("*.py"):
        for name in imports_of(file):
            parts = name.split(".")
            if parts[0] == "cliptag" and len(parts) > 1 and parts[1] not in FREE_FOR_ALL:
                other = parts[1]
                assert other == room or other in MAY_IMPORT[room], f"{file} imports {name}"


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_enters_another_by_its_door(room: str):
    for file in (PACKAGE / room).rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("cliptag."):
                parts = str(node.module).split(".")
                is_deep = len(parts) > 2 and parts[1] != room
                assert not is_deep, f"{file} reaches past the door of {parts[1]}: {node.module}"


def test_qt_is_imported_only_where_things_are_drawn():
    for file in PACKAGE.rglob("*.py"):
        room = file.relative_to(PACKAGE).parts[0]
        if room not in DRAWING_ROOMS:
            assert not any(name.startswith("PyQt6") for name in imports_of(file)), file
