"""LibreOffice as the second reader of a workbook."""

import shutil
import subprocess

import openpyxl
import pytest

SOFFICE = shutil.which("soffice")
office = pytest.mark.skipif(SOFFICE is None, reason="LibreOffice (soffice) is not installed")


def recalculated(book, folder):
    """The values of an openpyxl workbook after LibreOffice computed it anew."""
    path = folder / "changed.xlsx"
    book.save(path)
    form = ("--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", folder / "out")
    subprocess.run(
        [SOFFICE, f"-env:UserInstallation=file://{folder}/office", "--headless", *form, path],
        check=True,
        capture_output=True,
        timeout=300,
    )
    return openpyxl.load_workbook(folder / "out" / "changed.xlsx", data_only=True)
