"""Take the pictures of the watch page and the summary: python docs/take_page_pictures.py

Makes the demo's take-home, once as it is and once for a client who reads Hebrew. Needs Chromium and
Node.js.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import msgspec
import pypdfium2
from PIL import Image

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "tests"))

from support.driving import Visit, drive  # noqa: E402

from cliptag.demo import demo_folder, demo_review  # noqa: E402
from cliptag.export import export_take_home  # noqa: E402
from cliptag.review import Note, Review, load_review, save_review  # noqa: E402

PHONE = {"width": 360, "height": 740, "sharpness": 1.5}
HEBREW = (
    "כפות הרגליים עומדות הרבה לפני הברכיים. מכאן הרגליים לא יכולות להרים אותך.",
    "לפני הקימה כדאי להחליק את שני העקבים לאחור, עד שהם מעט מאחורי הברכיים.",
    "הברכיים פתוחות מאוד בהתחלה, והשוק נוטה הרחק ממך.",
    "השרפרף טוב. עוד סנטימטר או שניים, עם כרית יציבה, יקלו על הדחיפה הראשונה.",
    "הגב הוא קשת אחת ארוכה, והגב התחתון שוקע מאחורי האגן.",
    "הסנטר מוביל את הדרך. כדאי שקודקוד הראש יוביל, והסנטר ינוח.",
    "כאן העזיבה של השרפרף. הגו חייב להיזרק הרחק קדימה, כי כפות הרגליים רחוקות כל כך.",
    "הזרועות שקטות לאורך כל הדרך, ואין דחיפה בידיים. כדאי לשמור על זה.",
    "עמידה זקופה. אפשר להשוות לקו מהאוזן לקרסול: הראש עדיין מלפנים.",
    "אם ברך כואבת בזמן התרגול, יש לעצור ולבקש מאיש מקצוע שיבדוק אותה.",
    "לשבת זקוף, להחליק את העקבים לאחור, לרכון מהירכיים ולקום לאט. לשבת לאט עוד יותר.",
    "על השרפרף, לגלגל את האגן קדימה ואחורה, ולעצור במקום שבו הגב ארוך.",
)
LABELS = {"under the knee": "מתחת לברך", "heels back": "עקבים לאחור", "seat": "מושב"}


def main() -> None:
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        export_take_home(demo_review(), folder / "en")
        save_review(in_hebrew(load_review(demo_review())), folder / "he.review.json")
        export_take_home(folder / "he.review.json", folder / "he")
        pages = [(folder / name / "index.html").as_uri() for name in ("en", "he")]
        write_pages(folder, *pages)
        write_summaries([folder / name / "summary.pdf" for name in ("en", "he")])


def in_hebrew(review: Review) -> Review:
    """The demo review as a coach who writes Hebrew might have written it."""
    clip = msgspec.structs.replace(review.clip, path=(demo_folder() / review.clip.path).as_posix())
    notes = [translated(note, text) for note, text in zip(review.notes, HEBREW, strict=True)]
    return msgspec.structs.replace(
        review,
        clip=clip,
        language="he",
        client="אינס",
        coach="מרה קוול",
        impression="הקימה שלך בלי ידיים ובלי חיפזון, וזו התחלה טובה. נעביר את העבודה לרגליים.",
        notes=tuple(notes),
    )


def translated(note: Note, text: str) -> Note:
    marks = [msgspec.structs.replace(mark, label=LABELS.get(mark.label, "")) for mark in note.marks]
    often = note.repetitions.partition(",")[0]
    return msgspec.structs.replace(note, text=text, marks=tuple(marks), repetitions=often)


def write_pages(folder: Path, english: str, hebrew: str) -> None:
    shots = [folder / f"{number}.png" for number in range(5)]
    play = "new Promise((done) => { const video = document.querySelector('video');"
    play += " video.onseeked = () => setTimeout(done, 800); video.currentTime = 23.0; })"
    tick = "document.querySelector('input[data-task]').click()"

    def to(selector: str) -> str:
        return f"document.querySelectorAll('{selector}')[0].scrollIntoView({{behavior: 'instant'}})"

    drive(
        [
            Visit(english, (play, f"picture {shots[0]}"), 1280, 860),
            Visit(english, (play, f"picture {shots[1]}"), **PHONE),
            Visit(english, (tick, to(".exercises"), f"picture {shots[2]}"), scheme="dark", **PHONE),
            Visit(english, (to("#finding-4"), f"picture {shots[3]}"), **PHONE),
            Visit(hebrew, (play, f"picture {shots[4]}"), **PHONE),
        ]
    )
    few_colours(Image.open(shots[0])).save(HERE / "pictures" / "page.png", optimize=True)
    few_colours(side_by_side(shots[1:])).save(HERE / "pictures" / "page-phone.png", optimize=True)


def write_summaries(files: list[Path]) -> None:
    sheets = []
    for file in files:
        with pypdfium2.PdfDocument(file) as document:
            sheets.append(document[0].render(scale=1.25).to_pil())
    few_colours(joined(sheets)).save(HERE / "pictures" / "summary.png", optimize=True)


def side_by_side(files: list[Path]) -> Image.Image:
    return joined([Image.open(file).convert("RGB") for file in files])


def joined(pictures: list[Image.Image], gap: int = 24) -> Image.Image:
    width = sum(picture.width for picture in pictures) + gap * (len(pictures) - 1)
    sheet = Image.new("RGB", (width, max(picture.height for picture in pictures)), "#8a8f94")
    left = 0
    for picture in pictures:
        sheet.paste(picture, (left, 0))
        left += picture.width + gap
    return sheet


def few_colours(picture: Image.Image) -> Image.Image:
    return picture.convert("RGB").quantize(200, Image.Quantize.FASTOCTREE)


if __name__ == "__main__":
    main()
