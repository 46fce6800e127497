"""Every script that cliptag promises has real glyphs, on a machine without any fonts too."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest
from PyQt6.QtGui import QRawFont

from cliptag.paint.text import lay_out
from cliptag.paint.typefaces import FONT_FOLDER, REGULAR, STRONG, font

SAMPLES = {
    "Latin": "Straße, naïve, Łódź, İzmir, Đặng",
    "Latin, combining": "ẹ̀ ǫ́ m̃ r̥̄ ą́",
    "Greek": "Γόνατα πάνω από τα δάχτυλα",
    "Cyrillic": "Колени над пальцами, їжак, ђак",
    "Arabic": "اترك الركبة تتحرك إلى الأمام ٣×٨",
    "Arabic, vowelled": "مَرْحَبًا بِكُمْ",
    "Persian and Urdu": "زانو را جلو ببرید گھٹنے ٹھیک",
    "Hebrew": "תנו לברך לנוע קדימה",
    "Hebrew, pointed": "שָׁלוֹם עֲלֵיכֶם",
    "Devanagari": "घुटने को आगे आने दें क्ष ज्ञ श्र",
    "Bengali": "হাঁটু সামনে আসতে দিন ক্ষ",
    "Gurmukhi": "ਗੋਡੇ ਨੂੰ ਅੱਗੇ ਆਉਣ ਦਿਓ",
    "Tamil": "முழங்காலை முன்னே வர விடுங்கள் ஸ்ரீ",
    "Thai": "ปล่อยให้เข่าเคลื่อนไปข้างหน้า น้ำ",
    "Georgian": "მუხლი წინ წაიწიოს",
    "Armenian": "Թող ծունկը առաջ գա",
    "Chinese": "让膝盖向前移动 讓膝蓋向前移動。",
    "Japanese": "膝を前に出して、ツマ先の上へ。",
    "Korean": "무릎을 앞으로 보내세요.",
    "Signs": "92° ± 2° · 3 × 8 → ≥ ≤ ½ ② Ⅳ ✓ ★ • “„«»” – — …",
    "Emoji": "👍 😀 ❤️ ✅ 🏋️ 🧘",
    "Emoji, joined": "👍🏽 👩‍⚕️ 🇨🇭 1️⃣ 🏴󠁧󠁢󠁷󠁬󠁳󠁿",
}

CHARACTER_SETS = {
    **{f"iso8859_{part}": None for part in (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 14, 15, 16)},
    **{f"cp{page}": None for page in range(1250, 1259)},
    "gb2312": "Chinese, simplified",
    "big5": "Chinese, traditional",
    "euc_jp": "Japanese",
    "euc_kr": "Korean",
}
"""Standards of what a language needs to be written, as Python's own codecs hold them."""


def missing(text: str, weight: int = REGULAR) -> bool:
    """Whether a box stands in place of some glyph: glyph 0, or a fallback of 'no font at all'.

    Qt's box font has no tables, unlike any real one.
    """
    runs = lay_out(text, 24, 1e6, weight=weight).layout.glyphRuns()
    return any(0 in run.glyphIndexes() or not len(run.rawFont().fontTable("head")) for run in runs)


@pytest.mark.parametrize("weight", [REGULAR, STRONG])
@pytest.mark.parametrize("script", SAMPLES)
def test_a_script_is_written_with_real_glyphs(script, weight):
    assert not missing(SAMPLES[script], weight)


def test_a_script_without_a_font_is_noticed_by_these_tests():
    nobody_has_one = "\U0001e5d1"
    assert missing(nobody_has_one)


def characters_of(codec: str) -> list[str]:
    """All printable characters of a character set, but for box drawing and two brackets.

    The brackets are U+3008 and U+3009, for which Droid Sans Fallback has no glyphs.
    """
    double = (bytes([a, b]) for a in range(0x81, 0xFF) for b in range(0x40, 0xFF))
    single = (bytes([a]) for a in range(0x20, 0x100))
    found = set()
    for raw in (*single, *(double if CHARACTER_SETS[codec] else ())):
        try:
            found.update(raw.decode(codec))
        except UnicodeDecodeError:
            continue
    return sorted(
        char
        for char in found
        if unicodedata.category(char)[0] != "C"
        and not 0x2500 <= ord(char) < 0x25A0
        and char not in "\u3008\u3009"
    )


KOREAN_EXTRAS = range(0x3200, 0x3280)
"""Letters and syllables in brackets and circles, which KS X 1001 has and nobody types."""


def gaps_in(codec: str) -> str:
    chars = [c for c in characters_of(codec) if not (codec == "euc_kr" and ord(c) in KOREAN_EXTRAS)]
    chunks = [chars[i : i + 150] for i in range(0, len(chars), 150)]
    return "".join(
        char for chunk in chunks if missing("".join(chunk)) for char in chunk if missing(char)
    )


# What follows runs once more where Qt sees no font but ours: see the last test.


def report() -> dict[str, object]:
    return {
        "samples": [name for name, text in SAMPLES.items() if missing(text)],
        "gaps": {codec: gap for codec in CHARACTER_SETS if (gap := gaps_in(codec))},
    }


@pytest.mark.skipif(sys.platform != "linux", reason="hides the machine's fonts with fontconfig")
def test_the_fonts_that_come_with_cliptag_are_enough(tmp_path: Path):
    config = tmp_path / "fonts.conf"
    config.write_text(
        '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd">'
        f"<fontconfig><cachedir>{tmp_path}</cachedir></fontconfig>"
    )
    code = (
        "import json; from cliptag.paint import ensure_painter_ready; ensure_painter_ready();"
        "from paint.test_fonts import report; print(json.dumps(report()))"
    )
    root = Path(__file__).parents[2]
    environment = {
        **os.environ,
        "FONTCONFIG_FILE": str(config),
        "QT_QPA_PLATFORM": "offscreen",
        "PYTHONPATH": os.pathsep.join([str(root), str(root / "tests")]),
    }
    run = subprocess.run(
        [sys.executable, "-c", code],
        env=environment,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    assert json.loads(run.stdout) == {"samples": [], "gaps": {}}
    # Qt 6.6 prints these lines whatever it is told.
    said = [line for line in run.stderr.splitlines() if "OpenType support missing" not in line]
    assert not said, "Qt has nothing else to say"


@pytest.mark.parametrize(
    ("weight", "file"), [(REGULAR, "NotoSans-Regular.ttf"), (STRONG, "NotoSans-SemiBold.ttf")]
)
def test_our_own_file_is_used_though_the_machine_may_have_that_font_too(weight, file):
    used = QRawFont.fromFont(font(40, weight))
    ours = QRawFont(str(FONT_FOLDER / file), 40)
    for table in ("head", "name", "hmtx"):
        assert used.fontTable(table) == ours.fontTable(table)


def test_all_fonts_together_stay_small():
    files = list(FONT_FOLDER.glob("*.ttf"))
    assert sum(file.stat().st_size for file in files) < 8.3e6


def test_every_font_file_is_named_with_its_licence():
    text = (FONT_FOLDER / "LICENSES.txt").read_text("utf-8")
    for file in FONT_FOLDER.glob("*.ttf"):
        assert file.name in text
    assert "SIL OPEN FONT LICENSE Version 1.1" in text
    assert "Apache License" in text and "Version 2.0, January 2004" in text
