"""Sentences about the values of a project: defaults, owner's criteria and limits."""

SENTENCES = {
    "default": "{said}",
    "breach": "{said}",
    "limit": "{subject} {value}{unit} {rest}",
    "limit_inventory": "{subject} {rest}",
}
