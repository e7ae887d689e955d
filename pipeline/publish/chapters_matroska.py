"""chapters.xml: the chapters as Matroska chapter XML, which ``mkvmerge --chapters`` puts into a film.

What the elements mean is RFC 9559's word (section 5.1.7, "Chapters Element"); their order and the XML form
are those of the document type ``matroskachapters.dtd`` that comes with mkvmerge. Levels nest as ChapterAtoms
in ChapterAtoms. Times have the nanoseconds of Matroska, though the record knows milliseconds only.
"""

from __future__ import annotations

from itertools import count
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from pipeline.model import Record
from pipeline.publish.clock import timestamp
from pipeline.publish.grain import PublishedChapter, outline

LANGUAGE_ISO, LANGUAGE_BCP = "eng", "en"
"""The language of the titles: RFC 9559, 5.1.7.1.4.9 ("ChapLanguage") and .10 ("ChapLanguageBCP47")."""


def write(record: Record, grain: str = "exercise", template: str | None = None) -> str:
    """Return the text of chapters.xml."""
    root = Element("Chapters")
    # RFC 9559, 5.1.7.1.1 and 5.1.7.1.4.1: each edition and each chapter has a number of its own, not 0.
    numbers = count(1)
    edition = SubElement(root, "EditionEntry")
    _add(edition, "EditionUID", "1")
    _add(edition, "EditionFlagHidden", "0")
    _add(edition, "EditionFlagDefault", "1")
    for chapter in outline(record, grain, template):
        _add_atom(edition, chapter, numbers)
    indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(root, encoding="unicode") + "\n"


def _add_atom(parent: Element, chapter: PublishedChapter, numbers: count[int]) -> None:
    atom = SubElement(parent, "ChapterAtom")
    _add(atom, "ChapterTimeStart", f"{timestamp(chapter.start)}000000")
    _add(atom, "ChapterTimeEnd", f"{timestamp(chapter.end)}000000")
    _add(atom, "ChapterUID", str(next(numbers)))
    _add(atom, "ChapterFlagHidden", "0")
    _add(atom, "ChapterFlagEnabled", "1")
    display = SubElement(atom, "ChapterDisplay")
    _add(display, "ChapterString", _xml_text(chapter.title))
    _add(display, "ChapterLanguage", LANGUAGE_ISO)
    _add(display, "ChapLanguageIETF", LANGUAGE_BCP)
    for part in chapter.parts:
        _add_atom(atom, part, numbers)


def _add(parent: Element, name: str, text: str) -> None:
    SubElement(parent, name).text = text


def _xml_text(text: str) -> str:
    """Return text without the characters that XML 1.0 allows in no form (section 2.2, "Char")."""
    return "".join(c for c in text if c >= " " and not ("\ud800" <= c <= "\udfff" or c in "\ufffe\uffff"))
