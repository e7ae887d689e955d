"""captions.ttml: the captions as TTML, in the text profile of W3C IMSC 1.1, written by ttconv.

One region at the bottom of the picture, within the tenth of it at every edge that a screen may cover
(common practice); plain white on a dark box, 80 per cent of the picture wide, so that the longest line fits.
"""

from __future__ import annotations

import io
from fractions import Fraction
from typing import TYPE_CHECKING

from pipeline.model import Record
from pipeline.publish.captions import LINE_LENGTH, Caption, cut_captions, notes_of

if TYPE_CHECKING:
    from ttconv import model

TEXT_PROFILE = "http://www.w3.org/ns/ttml/profile/imsc1.1/text"
"""W3C IMSC 1.1, "Profile designators"."""

EDGE, WIDTH, HEIGHT = 10, 80, 20
"""Per cent of the picture: the safe edge, the region's width and its height (two lines and some room)."""

TEXT_HEIGHT = 5
"""Per cent of the picture's height for a line's letters; 37 of them fit the region in common sans faces."""


def write(record: Record, *, line_length: int = LINE_LENGTH) -> str:
    """Return the text of captions.ttml, with lines of at most ``line_length`` characters."""
    from ttconv.imsc import writer
    from ttconv.imsc.config import ContentProfilesSignaling, IMSCWriterConfiguration

    captions = cut_captions(record, line_length)
    settings = IMSCWriterConfiguration(profile_signaling=ContentProfilesSignaling.CONTENT_PROFILES)
    out = io.BytesIO()
    writer.from_model(_document(captions), settings).write(out, encoding="utf-8", xml_declaration=True)
    text = out.getvalue().decode("utf-8")
    # ttconv's model holds no comments; XML's may hold no two hyphens (XML 1.0, 2.5).
    notes = "".join(f"<!-- {note.replace('--', '-')} -->\n" for note in notes_of(captions, line_length))
    head, body = text.split("\n", 1)
    return f"{head}\n{notes}{body}\n"


def _document(captions: tuple[Caption, ...]) -> model.ContentDocument:
    from ttconv import model

    document = model.ContentDocument()
    document.set_lang("en")
    document.set_content_profiles({TEXT_PROFILE})
    region = _region(document)
    document.put_region(region)
    body, division = model.Body(document), model.Div(document)
    division.set_region(region)
    document.set_body(body)
    body.push_child(division)
    for number, one in enumerate(captions, 1):
        division.push_child(_paragraph(document, one, number))
    return document


def _region(document: model.ContentDocument) -> model.Region:
    from ttconv import model
    from ttconv import style_properties as styles

    percent = styles.LengthType.Units.pct
    region = model.Region("bottom", document)
    left = styles.LengthType(EDGE, percent)
    top = styles.LengthType(100 - EDGE - HEIGHT, percent)
    region.set_style(
        styles.StyleProperties.Position,
        styles.PositionType(left, top, styles.PositionType.HEdge.left, styles.PositionType.VEdge.top),
    )
    region.set_style(
        styles.StyleProperties.Extent,
        styles.ExtentType(height=styles.LengthType(HEIGHT, percent), width=styles.LengthType(WIDTH, percent)),
    )
    region.set_style(styles.StyleProperties.DisplayAlign, styles.DisplayAlignType.after)
    region.set_style(styles.StyleProperties.TextAlign, styles.TextAlignType.center)
    return region


def _paragraph(document: model.ContentDocument, caption: Caption, number: int) -> model.P:
    from ttconv import model
    from ttconv import style_properties as styles

    paragraph = model.P(document)
    paragraph.set_id(f"caption{number}")
    paragraph.set_begin(Fraction(round(caption.start * 1000), 1000))
    paragraph.set_end(Fraction(round(caption.end * 1000), 1000))
    span = model.Span(document)
    span.set_style(styles.StyleProperties.Color, styles.NamedColors.white.value)
    span.set_style(styles.StyleProperties.BackgroundColor, styles.NamedColors.black.value)
    span.set_style(styles.StyleProperties.FontSize, styles.LengthType(TEXT_HEIGHT, styles.LengthType.Units.rh))
    for place, line in enumerate(caption.lines):
        if place:
            span.push_child(model.Br(document))
        span.push_child(model.Text(document, line))
    paragraph.push_child(span)
    return paragraph
