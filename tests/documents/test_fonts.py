"""Which fonts set a text, and which characters are written by their code."""

from pathlib import Path

import pytest

from linerdesign.documents import fonts
from linerdesign.documents.fonts import Fonts, fonts_for

# The Unicode charts: Greek ends at U+03FF, Cyrillic begins at U+0400.
GREEK, CYRILLIC = "\u03ff", "\u0400"
# DejaVu Sans has Hebrew, and neither of these.
HAN, PIPE = "\u65e5", "\U0001f6b0"


def test_greek_needs_no_font_but_those_that_the_typesetter_brings(monkeypatch):
    monkeypatch.setattr(fonts, "_carried_folder", lambda: None)
    monkeypatch.setattr(fonts, "_without_any_glyph", lambda codes: set())
    assert fonts_for(f"Trunk {GREEK}") == Fonts(())
    assert fonts_for(f"Trunk {CYRILLIC}") == Fonts((), of_machine=True)


@pytest.mark.parametrize(
    ("text", "nowhere", "of_machine", "codes"),
    [
        ("שלום", "", False, ()),
        (HAN, "", True, ()),
        (HAN, HAN, False, ((0x65E5, "[U+65E5]"),)),
        (PIPE + HAN + HAN, PIPE, True, ((0x1F6B0, "[U+1F6B0]"),)),
        (PIPE + HAN, HAN + PIPE, False, ((0x65E5, "[U+65E5]"), (0x1F6B0, "[U+1F6B0]"))),
    ],
)
def test_the_machine_is_asked_for_what_dejavu_lacks(text, nowhere, of_machine, codes, monkeypatch):
    """`nowhere` is what no font of the machine has either."""
    asked = []
    monkeypatch.setattr(
        fonts, "_without_any_glyph", lambda codes: asked.append(codes) or set(map(ord, nowhere))
    )
    found = fonts_for(text)
    assert (found.of_machine, found.codes) == (of_machine, codes)
    (folder,) = found.folders
    assert (Path(folder) / "DejaVuSans.ttf").is_file()
    lacking = {ord(each) for each in text if each in HAN + PIPE}
    assert asked == ([lacking] if lacking else [])


def test_a_character_is_written_by_four_digits_at_least():
    """So Unicode writes its code points."""
    found = Fonts((), codes=((0x400, "[U+0400]"), (0x1F6B0, "[U+1F6B0]")))
    assert found.spelled(f"a{CYRILLIC}b{PIPE}") == "a[U+0400]b[U+1F6B0]"
    assert Fonts(()).spelled(CYRILLIC) == CYRILLIC


def test_fonts_of_the_machine_are_read_until_every_character_is_found(monkeypatch):
    import typst

    class Font:
        def __init__(self, path):
            self.path = path

    class Machine:
        """What the typesetter itself brings has no path."""

        def fonts(self):
            return [Font("c"), Font(None), Font("a"), Font("b"), Font("b")]

    has, read = {"a": {1, 2}, "b": {3}, "c": {4}}, []
    monkeypatch.setattr(typst, "Fonts", lambda **about: Machine())
    monkeypatch.setattr(fonts, "_characters", lambda path: read.append(path) or has[path])
    assert fonts._without_any_glyph({2, 3}) == set()
    assert read == ["a", "b"]
    assert fonts._without_any_glyph({2, 5}) == {5}
    assert read[2:] == ["a", "b", "c"]


def test_a_font_that_can_not_be_read_has_no_characters(tmp_path):
    broken = tmp_path / "broken.ttf"
    broken.write_bytes(b"no font")
    assert fonts._characters(str(broken)) == set()
    assert fonts._characters(str(tmp_path / "none.ttf")) == set()
    carried = fonts._carried_folder()
    assert ord("D") in fonts._characters(str(carried / "DejaVuSans.ttf"))
    assert ord(HAN) not in fonts._characters(str(carried / "DejaVuSans.ttf"))
