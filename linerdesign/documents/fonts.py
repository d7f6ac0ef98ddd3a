"""Which fonts set a text: those that come with our dependencies, and the machine's where it must.

Pages are the same on every machine as long as the text holds no character that only the machine's
own fonts have. One that no font has is written by its code, `[U+65E5]`, and not as an empty box.
"""

from __future__ import annotations

import importlib.util
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Fonts:
    """Folders of fonts to use, whether the machine's own are needed, and what none of them has."""

    folders: tuple[str, ...]
    of_machine: bool = False
    codes: tuple[tuple[int, str], ...] = ()

    def spelled(self, text: str) -> str:
        """The text with every character that no font has written by its code."""
        return text.translate(dict(self.codes)) if self.codes else text


def fonts_for(text: str) -> Fonts:
    """The fonts that a text needs. What Typst brings covers Latin and Greek letters and signs."""
    folder = _carried_folder()
    folders = () if folder is None else (str(folder),)
    foreign = {ord(character) for character in set(text) if ord(character) > 0x3FF}
    if not foreign:
        return Fonts(folders)
    lacking = foreign - _characters(str(folder / "DejaVuSans.ttf")) if folder else foreign
    if not lacking:
        return Fonts(folders)
    rest = _without_any_glyph(lacking)
    codes = tuple((code, f"[U+{code:04X}]") for code in sorted(rest))
    return Fonts(folders, of_machine=rest != lacking, codes=codes)


def _carried_folder() -> Path | None:
    """Folder of the font with the most scripts available: DejaVu Sans, which matplotlib carries."""
    found = importlib.util.find_spec("matplotlib")
    places = found.submodule_search_locations if found else None
    return Path(places[0]) / "mpl-data" / "fonts" / "ttf" if places else None


def _without_any_glyph(codes: set[int]) -> set[int]:
    """Those of the characters that no font of the machine has."""
    import typst

    rest = set(codes)
    # Those that Typst itself brings have no path.
    for path in sorted({str(font.path) for font in typst.Fonts().fonts() if font.path}):
        if not rest:
            break
        rest -= _characters(path)
    return rest


def _characters(path: str) -> set[int]:
    """The characters that a font has; none where it can't be read."""
    from matplotlib.ft2font import FT2Font

    try:
        return set(FT2Font(path).get_charmap())
    except (OSError, RuntimeError):
        return set()
