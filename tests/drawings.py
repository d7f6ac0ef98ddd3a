"""SVG drawings as shapes and boxes: what lies in the picture, and what lies on what."""

import re
from itertools import combinations
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"


def numbers(element, *names):
    """Attributes of an element as numbers."""
    return [float(element.get(name)) for name in names]


def texts(picture):
    """Text with the box around it: a wide sans-serif takes about half its size a letter."""
    for each, down in _placed(ElementTree.fromstring(picture.svg)):
        if each.tag != f"{SVG}text" or not each.text:
            continue
        height, x, y = numbers(each, "font-size", "x", "y")
        width = height * 0.52 * len(each.text)
        left = {"start": x, "middle": x - width / 2, "end": x - width}[each.get("text-anchor")]
        yield each.text, left, left + width, down + y - 0.75 * height, down + y + 0.2 * height


def within(picture):
    """Every shape and text lies in a picture that is as large as it says, to two decimals."""
    root = ElementTree.fromstring(picture.svg)
    width, height = numbers(root, "width", "height")
    assert root.get("role") == "img"
    assert root.get("viewBox") == f"0 0 {root.get('width')} {root.get('height')}"
    for each, down in _placed(root):
        _coloured(each)
        lengths = [value for name, value in each.items() if name not in ("aria-label", "d")]
        assert not re.search(r"\d\.\d{3}", " ".join(lengths)), each.attrib
        for x, y in _points(each):
            assert -0.01 <= x <= width + 0.01, each.attrib
            assert -0.01 <= y + down <= height + 0.01, each.attrib
    for words, _, _, top, low in texts(picture):
        assert 0 <= top < low <= height, words


def apart(picture):
    """No text lies on another."""
    for one, other in combinations(texts(picture), 2):
        beside = one[2] <= other[1] or other[2] <= one[1]
        assert beside or one[4] <= other[3] or other[4] <= one[3], (one, other)


def _placed(element, down=0.0):
    """Every element, with how far the groups round it are moved down."""
    moved = re.fullmatch(r"translate\(0 ([\d.]+)\)", element.get("transform", ""))
    down += float(moved[1]) if moved else 0.0
    yield element, down
    for each in element:
        yield from _placed(each, down)


def _coloured(element):
    """What a shape leaves unsaid is black inside and has no outline."""
    match element.tag.removeprefix(SVG):
        case "line" | "polyline":
            assert element.get("stroke"), element.attrib
            assert element.tag == f"{SVG}line" or element.get("fill") == "none", element.attrib
        case "rect" | "circle" | "polygon" | "path" | "text":
            assert element.get("fill"), element.attrib
            assert element.get("fill") != "none" or element.get("stroke"), element.attrib


def _points(element):
    """The corners of a shape, or of the square round it."""
    match element.tag.removeprefix(SVG):
        case "rect":
            x, y, width, height = (float(element.get(k, 0)) for k in ("x", "y", "width", "height"))
            assert width >= 0 <= height
            yield from ((x, y), (x + width, y + height))
        case "line":
            x1, x2, y1, y2 = numbers(element, "x1", "x2", "y1", "y2")
            yield from ((x1, y1), (x2, y2))
        case "circle":
            x, y, radius = numbers(element, "cx", "cy", "r")
            radius += float(element.get("stroke-width")) / 2
            yield from ((x - radius, y - radius), (x + radius, y + radius))
        case "polygon" | "polyline":
            yield from (map(float, pair.split(",")) for pair in element.get("points").split())


def inside(figure):
    """Every text of a figure lies in it, in letters of 7 to 10 points; a legend has no frame."""
    from matplotlib.legend import Legend
    from matplotlib.text import Text

    figure.draw_without_rendering()
    both = [axis for axes in figure.axes for axis in (axes.xaxis, axes.yaxis)]
    ticks = {text for axis in both for text in axis.get_ticklabels(which="both")}
    for text in figure.findobj(Text):
        if text.get_text() and text.get_visible():
            assert text.get_size() in (7, 8, 9, 10), text
            # Numbers of an axis beyond its ends are not drawn.
            if text not in ticks:
                box = text.get_window_extent()
                assert -1 <= box.x0 <= box.x1 <= figure.bbox.width + 1, text
                assert -1 <= box.y0 <= box.y1 <= figure.bbox.height + 1, text
    for legend in figure.findobj(Legend):
        assert not legend.get_frame_on()
