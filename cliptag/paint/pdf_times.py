"""A PDF that doesn't tell when it was made: the same pages are the same file, whoever made it."""

from __future__ import annotations

import hashlib
import re
import uuid
from pathlib import Path
from typing import Final

# As Qt and pypdf write them. The entries may be left out (ISO 32000-1, table 317; from memory);
# blanks keep every offset in the file's table as it is.
_DATES: Final = re.compile(rb"/(?:Creation|Mod)Date ?\(D(?::|\\072)[^)]*\)")
_XMP_DATES: Final = re.compile(rb'xmp:(?:Create|Modify|Metadata)Date="[^"]*"')
_UUID: Final = re.compile(rb"(?<=uuid:)[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_UUID_ZERO: Final = re.compile(rb"(?<=uuid:)0{36}")
_IDS: Final = re.compile(rb"(?<=/ID)( ?\[ ?)<([0-9a-fA-F]*)>( ?)<([0-9a-fA-F]*)>")
# Six letters before the name of a font of which only a part is embedded (ISO 32000-1, 9.6.4; from
# memory). Qt takes them from how many fonts a process has embedded before.
_TAGS: Final = re.compile(rb"(?<=/FontName /|/BaseFont /)[A-Z]{6}(?=\+)")


def take_times_out(path: Path) -> None:
    """Blank the days and times in a PDF file, and derive its identifiers from what is left.

    Raises OSError.
    """
    data = path.read_bytes()
    for times in (_DATES, _XMP_DATES):
        data = times.sub(lambda found: b" " * len(found[0]), data)
    tags = {tag: _letters(n) for n, tag in enumerate(dict.fromkeys(_TAGS.findall(data)))}
    data = _TAGS.sub(lambda found: tags[found[0]], data)
    data = _UUID.sub(b"0" * 36, data)
    data = _IDS.sub(lambda found: _with_ids(found, b""), data)
    digest = hashlib.blake2b(data, digest_size=16).digest()
    data = _UUID_ZERO.sub(str(uuid.UUID(bytes=digest)).encode(), data)
    path.write_bytes(_IDS.sub(lambda found: _with_ids(found, digest), data))


def _letters(number: int) -> bytes:
    """A number in six letters: AAAAAA, AAAAAB ..."""
    return bytes(ord("A") + number // 26**place % 26 for place in range(5, -1, -1))


def _with_ids(found: re.Match[bytes], digest: bytes) -> bytes:
    """Both identifiers of a file's end, as long as they were."""
    digits = digest.hex().encode() or b"0"
    first, second = ((digits * len(old))[: len(old)] for old in (found[2], found[4]))
    return found[1] + b"<" + first + b">" + found[3] + b"<" + second + b">"
