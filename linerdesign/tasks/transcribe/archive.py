"""Checks an Office file before it is opened: size, macros, links to other files, entities."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

from linerdesign.tasks.transcribe.document import refused

MOST_UNPACKED = 1 << 27
MOST_PARTS = 5000
_OLD_OR_ENCRYPTED = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_RELATION = re.compile(rb"<Relationship\b[^>]*>")
_ENTITY = re.compile(rb"<!\s*(?:DOCTYPE|ENTITY)", re.IGNORECASE)
_MACROS = ("vbaproject.bin", "vbadata.xml", "macrosheets/", "activex/")
_LINKS = "externallinks/"
_EMBEDDED = "/embeddings/"


def check_archive(path: Path, data: bytes) -> tuple[str, ...]:
    """The names of embedded files, which are not read.

    Refuses an Office file that is encrypted, too large, or more than text and numbers.

    Raises:
        InputFaults: with the reason.
    """
    if data.startswith(_OLD_OR_ENCRYPTED):
        raise refused("encrypted_or_old", path)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _check_parts(path, archive)
    except (
        zipfile.BadZipFile,
        zipfile.LargeZipFile,
        OSError,
        RuntimeError,
        EOFError,
        ValueError,
        MemoryError,
    ):
        raise refused("damaged", path) from None


def _check_parts(path: Path, archive: zipfile.ZipFile) -> tuple[str, ...]:
    parts = archive.infolist()
    if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNPACKED:
        raise refused("bomb", path)
    if any(part.flag_bits & 1 for part in parts):
        raise refused("encrypted", path)
    names = [part.filename.lower() for part in parts]
    if any(mark in name for name in names for mark in _MACROS):
        raise refused("macros", path)
    if any(_LINKS in name for name in names):
        raise refused("links", path)
    for part in parts:
        if part.filename.lower().endswith((".xml", ".rels")):
            _check_text(path, part.filename, archive.read(part))
    return tuple(name for name in names if _EMBEDDED in name)


def _check_text(path: Path, name: str, text: bytes) -> None:
    if _ENTITY.search(text):
        raise refused("entities", path)
    for relation in _RELATION.findall(text) if name.lower().endswith(".rels") else ():
        if b'"External"' in relation and b"/hyperlink" not in relation:
            raise refused("links", path)
