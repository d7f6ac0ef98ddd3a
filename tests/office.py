"""LibreOffice as the second reader of a workbook."""

import shutil
import subprocess

import openpyxl
import pytest

SOFFICE = shutil.which("soffice")
XLSX = "xlsx:Calc MS Excel 2007 XML"
office = pytest.mark.skipif(SOFFICE is None, reason="LibreOffice (soffice) is not installed")


def converted(paths, folder, form=XLSX, *options):
    """Has LibreOffice write files in another form into a folder; its own profile lies beside it."""
    profile = (folder.parent / "office").as_uri()
    command = [SOFFICE, f"-env:UserInstallation={profile}", "--headless", *options]
    command += ["--convert-to", form, "--outdir", str(folder), *map(str, paths)]
    subprocess.run(command, check=True, capture_output=True, timeout=300)


def recalculated(book, folder):
    """The values of an openpyxl workbook after LibreOffice computed it anew."""
    path = folder / "changed.xlsx"
    book.save(path)
    converted([path], folder / "out")
    return openpyxl.load_workbook(folder / "out" / "changed.xlsx", data_only=True)
