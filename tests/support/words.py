"""Texts that are hard to show, and simple measures of their width."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from typing import Final

from hypothesis import strategies as st

PROSE: Final = (
    "Your knees drift inwards as you push up. Think of pushing the floor apart with your feet, "
    "and keep each knee over its second toe until you stand tall."
)

SCRIPTS: Final = {
    "English": PROSE,
    "German": "Stell die Füße hüftbreit auf, dann drück dich langsam hoch – ohne Schwung.",
    "French": "Gardez le dos droit pendant la montée ; puis soufflez : c’est très bien !",
    "Greek": "Σήκω αργά, με το βάρος και στα δύο πόδια.",
    "Russian": "Встаньте медленно, опираясь на обе ступни.",
    "Arabic": "قف ببطء، ثم ادفع الأرض بقدميك. حافظ على استقامة ظهرك.",
    "Hebrew": "קום לאט, ודחוף את הרצפה בשתי הרגליים. שמור על גב ישר.",
    "Hindi": "धीरे-धीरे खड़े हों, और दोनों पैरों से ज़मीन को दबाएँ।",
    "Thai": "ยืนขึ้นช้าๆ แล้วดันพื้นด้วยเท้าทั้งสองข้าง",
    "Japanese": "膝を前に出してから、両足で床を押してください。そのあと、ゆっくり立ち上がります。",
    "Chinese": "慢慢站起来,双脚用力踩地。保持背部挺直,眼睛看向前方。",
    "Korean": "천천히 일어나면서 두 발로 바닥을 밀어 주세요.",
    "emoji": "Well done 👩‍👩‍👧‍👦 👍🏽 🇨🇭 🏴󠁧󠁢󠁥󠁮󠁧󠁿 keep going ❤️‍🔥",
    "combining": "Z̷̢a̴͜l̵̡g̶̨o e\u0301te\u0301 n\u0303",
    "mixed": "Say «שלום» to 3 people, then العالم at 5:30.",
}

HOSTILE: Final = {
    "script": "<script>alert(1)</script> <b onmouseover=x>hi</b> </c><v Bob>",
    "arrow": "00:00:01.000 --> 00:00:02.000 align:start --> -->",
    "ampersands": "a & b && &amp; &lt; &#60; &nbsp; &notaname;",
    "blank lines": "first\n\n\nsecond\r\n\r\nthird\rfourth\u2028fifth\u2029sixth\x0bseventh",
    "headings": "WEBVTT\nNOTE\nSTYLE\nREGION\nNOTE this is no comment",
    "directions": "safe \u202eevil \u2066deep \u202b\u202d and \u2069\u2069\u202c\u202c out",
    "unclosed": "\u2067\u202e" * 50 + "turned",
    "controls": "nul\x00bell\x07escape\x1b[31mred\x1b[0m del\x7f c1\x9b",
    "half characters": "low \udc00 high \ud83d end",
    "invisible": "a\u00adb\ufeffc\u200bd\u200ee\ufff9f\ufffe",
    "one long word": "x" * 10_000,
    "one long word of marks": "a" + "\u0301" * 10_000,
    "spaces": " \t \u3000 " * 500 + "end",
    "many lines": "\n".join("go" for _ in range(300)),
    "braces": "{\\an8} \\N \\h {} %s %d ${x} `x`",
    "csv": "=1+1,\"quoted\",'single'",
}

any_text = st.text(max_size=160) | st.lists(
    st.sampled_from(
        [*SCRIPTS.values(), "\n", "\n\n", "a", "🇨🇭", "👩‍👩‍👧‍👦", "\u0301", "\u202e", " "]
    ),
    max_size=6,
).map("".join)


def at_most(width: int) -> Callable[[str], bool]:
    """Whether a line has at most so many code points."""
    return lambda line: len(line) <= width


def letters_of(text: str) -> str:
    """What of a text must reach the reader: letters, marks, numbers, punctuation and signs.

    Told by Unicode's general categories alone; what this Unicode has no category for counts too.
    """
    normal = unicodedata.normalize("NFC", text)
    return unicodedata.normalize("NFC", "".join(filter(_must_show, normal)))


def _must_show(char: str) -> bool:
    is_no_character = ord(char) & 0xFFFE == 0xFFFE or "\ufdd0" <= char <= "\ufdef"
    category = unicodedata.category(char)
    return category[0] in "LMNPS" or (category in ("Cn", "Co") and not is_no_character)
