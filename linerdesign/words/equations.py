"""Sentences of the list of equations."""

SENTENCES = {
    "heading": "{number}: {meaning}",
    "heading_of": "{number}: {meaning} ({form})",
    "worked": "Example: {line}",
    "range": "{holds} (otherwise {severity}: {text})",
    "ranges": "Range: {list}.",
    "no_range": "Range: none stated.",
    "clause": "Reference: {clause}. {source}: {provenance}.",
    "table": "Table: {name}; {source}",
}

HEADS = {
    "equations": ("number", "form", "meaning", "clause", "source"),
    "symbols": ("symbol", "meaning", "US unit", "SI unit"),
}
