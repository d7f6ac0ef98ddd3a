"""Names of pipes in a text: a run from one manhole to the next, or a numbered pipe."""

from __future__ import annotations

import re
from collections.abc import Iterator

from linerdesign.tasks.transcribe.numbers import unit_at

_NODE = (
    r"(?:(?:SS?|ST|SD)?MH|CB|Manhole|Node|Structure|Inlet|Outfall|Chamber)[ .#-]*[A-Z]{0,2}-?\d+"
    r"[A-Za-z]?(?:[.-]\d+)?"
)
_RUN = re.compile(rf"\b{_NODE}\s*(?:\bto\b|\bthru\b|[-–—→>/]+)\s*(?:{_NODE}|[A-Z]?\d+[A-Za-z]?\b)")
_NUMBERED = re.compile(
    r"\b(?:Pipe|Segment|Run|Reach|Line|Pipeline|Culvert|Lateral)\s*(?:No\.?|ID|#)?\s*[:#]?\s*"
    r"(?P<id>[A-Z]{0,4}-?\d+[A-Za-z]?(?:-\d+)*)\b"
)
_HEADING = re.compile(
    r"\s*(?:Pipe|Segment|Run|Reach|Line|Pipeline|Culvert|Sewer|Pipe\s+(?:run|segment|section|name))"
    r"\s*(?:No\.?|ID|name|#)?\s*[:=]\s*(?P<name>\S.{0,60}?)\s*",
    re.IGNORECASE,
)


def names_in(text: str) -> Iterator[tuple[int, int, str]]:
    """Span and name of each pipe named in a text."""
    for match in _RUN.finditer(text):
        yield match.start(), match.end(), _clean(match[0])
    if not _RUN.search(text):
        for match in _NUMBERED.finditer(text):
            if not _is_quantity(text, match):
                yield match.start(), match.end(), _clean(match[0])


def _is_quantity(text: str, match: re.Match[str]) -> bool:
    rest = text[match.end() :]
    blanks = len(rest) - len(rest.lstrip())
    return blanks < 2 and unit_at(text, match.end() + blanks) is not None


def heading(text: str) -> str | None:
    """The name in a line such as `Pipe: Mill Lane`, or in a line that is a name and no more."""
    if match := _HEADING.fullmatch(text):
        return _clean(match["name"])
    for start, end, name in names_in(text):
        rest = (text[:start] + text[end:]).strip(" :.-–—#")
        if not any(c.isdigit() for c in rest) and len(rest) <= 40 and "=" not in rest:
            return name
    return None


def _clean(text: str) -> str:
    return " ".join(text.split())


def same_name(name: str) -> str:
    """What two spellings of one name have in common."""
    return re.sub(r"[^a-z0-9]", "", re.sub(r"\b(?:to|thru)\b", " ", name.lower()))
