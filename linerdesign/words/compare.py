"""Sentences of a comparison of resin systems."""

SENTENCES: dict[str, str] = {
    "none_listed": "no listed thickness is sufficient",
    "exceeds": "{equations} require more than {nominal:g} mm",
    "not_finite": "the inputs give no finite thickness together",
    "beyond_table": "{key}: {expected}",
}
