"""HTML and SVG as a tree, so that all text is escaped by the serializer and none by hand."""

from __future__ import annotations

from xml.etree.ElementTree import Element, tostring

Child = Element | str | None


def element(tag: str, *children: Child, **attributes: str | float | None) -> Element:
    """Return an element; a child or an attribute that is ``None`` is left out.

    ``class_`` stands for ``class``, and ``_`` in an attribute's name for ``-``: ``stroke_width=2``.
    """
    made = Element(tag)
    for name, value in attributes.items():
        if value is not None:
            made.set(name.rstrip("_").replace("_", "-"), value if isinstance(value, str) else f"{value:g}")
    add(made, *children)
    return made


def add(parent: Element, *children: Child) -> None:
    """Append children to an element, in order, text as text."""
    for child in children:
        if isinstance(child, Element):
            parent.append(child)
        elif child and len(parent):
            parent[-1].tail = (parent[-1].tail or "") + child
        elif child:
            parent.text = (parent.text or "") + child


def to_html(root: Element) -> str:
    """Return the element as HTML (the style and script elements' text as it is, as HTML reads it)."""
    return tostring(root, encoding="unicode", method="html")
