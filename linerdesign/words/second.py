"""Sentences about a second design method beside that of the project."""

SENTENCES: dict[str, str] = {
    "pipe": "pipe",
    "by": "method",
    "required": "req. mm",
    "nominal": "nom. mm",
    "governing": "governing",
    "status": "status",
    "setting": "{name} {value:g} % ({origin})",
    "beside": "{method} does not replace the standard's check: the wall is chosen by the standard.",
    "replaces": "By the project's criteria the thickness by {method} replaces the standard's, which "
    "stands beside it for information. The licensed engineer answers for that choice.",
    "caption": "Required thickness by two methods; {method}: {settings}. {use}",
    "left_out": "Not in the second method: {what}.",
    "none": "No thickness by the second method ({method}): {why}.",
    "working": "Second method ({method}), line by line",
    "heading": "Second design method",
    "static": "a page or workbook follows changed inputs, which the numerical model cannot: write "
    "text, PDF or JSON where the second method replaces the standard",
    "size_only": "is for `size` only: review and comparison are by the standard",
}
