"""The type on a sheet of labels, read back from its PDF.

Text operators (Tf, Tm, Tj, TJ) and the text space: ISO 32000-1 (PDF 1.7), 9.3 and 9.4. Read with
pikepdf; lines of words with pdftotext of Poppler.
"""

from __future__ import annotations

import io
from collections import Counter

import pikepdf
import pytest

from catalogue.printing.label_contents import CONTENTS, label_of
from catalogue.printing.labels import lay_labels
from catalogue.printing.stock import READY_MADE, Stock
from tests.outside.test_true_scale import Matrix, multiply, pdf_of, words_of

pytest.importorskip("weasyprint", exc_type=OSError)

FACTS = {
    "denomination": "25 tinne",
    "date": "1953 S",
    "country": "Halvern",
    "series": "First Marl",
    "metal": "copper-nickel",
    "size": "5.4 g, 23.5 mm",
    "grade": "EF",
    "reference": "Tables, F. 1934",
}
LONG = "A token of the ferry to the outer skerries, with the line’s house flag on its reverse"


def sizes_and_fonts(pdf: bytes) -> tuple[Counter[float], set[str]]:
    """How often text is shown at each size, in points on the paper, and in which fonts."""
    sizes: Counter[float] = Counter()
    fonts = set()
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for page in document.pages:
            ctm: Matrix = (1, 0, 0, 1, 0, 0)
            text: Matrix = ctm
            stack: list[Matrix] = []
            size, name = 0.0, ""
            for operands, operator in pikepdf.parse_content_stream(page):
                match str(operator):
                    case "q":
                        stack.append(ctm)
                    case "Q":
                        ctm = stack.pop()
                    case "cm":
                        ctm = multiply(tuple(map(float, operands)), ctm)  # type: ignore[arg-type]
                    case "Tm":
                        text = tuple(map(float, operands))  # type: ignore[assignment]
                    case "Tf":
                        font = page.Resources.Font[str(operands[0])]
                        name, size = str(font.BaseFont), float(operands[1])
                    case "Tj" | "TJ":
                        sizes[round(abs(size * multiply(text, ctm)[3]), 2)] += 1
                        fonts.add(name.split("+")[-1])
    return sizes, fonts


@pytest.mark.parametrize("stock", READY_MADE, ids=lambda stock: f"{stock.paper}: {stock.name}")
@pytest.mark.parametrize("longest", ["", LONG], ids=["short", "with a long one"])
def test_a_sheet_of_labels_is_set_in_one_size_of_at_least_six_points(
    stock: Stock, longest: str
) -> None:
    labels = [label_of({**FACTS, "accession": f"T.{n}"}, CONTENTS["full"]) for n in range(30)]
    if longest:
        labels.append(label_of({**FACTS, "denomination": longest}, CONTENTS["full"]))
    pages = lay_labels(labels, stock)
    bare = tuple(
        page.__class__(
            page.paper,
            page.number,
            page.total,
            texts=tuple(text for text in page.texts if text.key != "rule"),
        )
        for page in pages
    )
    sizes, _fonts = sizes_and_fonts(pdf_of(bare))
    ((size, shown),) = sizes.items()
    assert 6 <= size <= 11
    assert shown >= 30


def test_a_grade_and_nothing_else_below_the_title_is_printed_in_the_heavier_weight() -> None:
    _sizes, plain = sizes_and_fonts(
        pdf_of(lay_labels([label_of({**FACTS, "grade": ""}, CONTENTS["full"])], READY_MADE[0]))
    )
    _sizes, graded = sizes_and_fonts(
        pdf_of(lay_labels([label_of(FACTS, CONTENTS["full"])], READY_MADE[0]))
    )
    assert graded - plain == {"Source-Sans-Pro-Semi-Bold"}


@pytest.mark.parametrize("stock", READY_MADE, ids=lambda stock: f"{stock.paper}: {stock.name}")
@pytest.mark.parametrize("content", CONTENTS)
def test_a_figure_is_printed_on_one_line_with_its_unit(stock: Stock, content: str) -> None:
    """Pairs of words that stand in a label are neighbours on one line of print."""
    words = [
        word[1:]
        for word in words_of(pdf_of(lay_labels([label_of(FACTS, CONTENTS[content])], stock)))
    ]
    printed = " ".join(word[0] for word in words)
    assert "25 tinne," in printed
    for figure, unit in (
        ("25", "tinne,"),
        ("1953", "S"),
        ("5.4", "g,"),
        ("23.5", "mm"),
        ("F.", "1934"),
    ):
        for number, (word, _left, top, right, _bottom) in enumerate(words):
            if word == figure:
                after, left, below = words[number + 1][:3]
                assert after == unit
                assert below == pytest.approx(top, abs=0.3)
                assert 0 < left - right < 2
