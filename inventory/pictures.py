"""Drawings for pages: a ReportLab drawing becomes an SVG the page may hold.

The content policy of the pages forbids style attributes, so every style becomes
presentation attributes; black becomes ``currentColor``, so that a picture follows
the light and the dark theme (grey is black with less opacity); a title and a
description are put in for readers who hear the page. The same drawing can be put
into a PDF unchanged.
"""

import re
from typing import Any
from xml.etree import ElementTree as ET

from defusedxml.ElementTree import fromstring
from reportlab.graphics import renderSVG  # noqa: TID253 - imported with pictures only
from reportlab.graphics.shapes import (  # noqa: TID253 - imported with pictures only
    Drawing,
    Shape,
)

__all__ = ["as_svg", "mark"]

SVG = "{http://www.w3.org/2000/svg}"
BLACK = re.compile(r"rgb\(0%,\s*0%,\s*0%\)")
LINK = "data-link"
NAME = "data-name"


def mark(shape: Shape, *, link: str = "", name: str = "", css_class: str = "") -> None:
    """Give a rectangle or a text a link, a tool tip or a class of the style sheet.

    Args:
        shape: a rectangle or text of the drawing.
        link: address the shape leads to.
        name: tool tip, also read aloud.
        css_class: class of the page's style sheet, for a colour beside black.
    """
    marks = {LINK: link, NAME: name, "class": css_class}
    kept = {key: value for key, value in marks.items() if value}
    shape._svgAttrs = kept  # type: ignore[attr-defined] # the renderer's own hook


def as_svg(drawing: Drawing, *, title: str, description: str, name: str = "pic") -> str:
    """Turn a drawing into an ``<svg>`` element for a page.

    Args:
        drawing: width and height in points become the view box.
        title: short name of the picture, read aloud first.
        description: what the picture shows, for those who cannot see it.
        name: start of the element ids; differs when a page has several pictures.

    Returns:
        The element as text, without XML declaration and without any style
        attribute.
    """
    root = fromstring(renderSVG.drawToString(drawing))
    _to_attributes(root)
    _to_links(root)
    for number, element in enumerate(root.iter()):
        if "id" in element.attrib:
            element.set("id", f"{name}-{number}")
    for child in list(root):
        if child.tag in {f"{SVG}title", f"{SVG}desc"}:
            root.remove(child)
    for place, (tag, words) in enumerate((("title", title), ("desc", description))):
        element = ET.Element(f"{SVG}{tag}", {"id": f"{name}-{tag}"})
        element.text = words
        root.insert(place, element)
    has_links = root.find(f".//{SVG}a") is not None
    root.set("role", "group" if has_links else "img")
    root.set("aria-labelledby", f"{name}-title {name}-desc")
    root.set("viewBox", f"0 0 {drawing.width:g} {drawing.height:g}")
    ET.register_namespace("", SVG[1:-1])
    return ET.tostring(root, encoding="unicode")


def _to_attributes(root: ET.Element) -> None:
    for element in root.iter():
        for declaration in element.attrib.pop("style", "").split(";"):
            key, colon, value = declaration.partition(":")
            if colon and value.strip() != "None":
                element.set(key.strip(), value.strip())
        for key in ("fill", "stroke"):
            if BLACK.fullmatch(element.get(key, "")):
                element.set(key, "currentColor")


def _to_links(parent: ET.Element) -> None:
    for place, child in enumerate(list(parent)):
        _to_links(child)
        name, link = child.attrib.pop(NAME, ""), child.attrib.pop(LINK, "")
        if name:
            tip = ET.SubElement(child, f"{SVG}title")
            tip.text = name
        if link:
            parent[place] = _anchor(child, link)


def _anchor(child: ET.Element, link: str) -> Any:
    anchor = ET.Element(f"{SVG}a", {"href": link})
    anchor.append(child)
    return anchor
