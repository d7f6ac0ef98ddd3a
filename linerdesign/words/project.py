"""Sentences about the values of a project: defaults, owner's criteria and limits."""

SENTENCES = {
    "default": "{subject}: {stated} (default)",
    "default_by_practice": "{subject}: {stated} (default; common practice, no source)",
    "default_edition": "edition: {stated} (default)",
    "default_x1_2_strength": "flexural strength in the bending check: {stated} (default)",
    "default_dry_case": "dry case, groundwater below the invert: checked (default)",
    "breach": "{said}",
    "limit": "{subject} {value}{unit} {rest}",
    "limit_inventory": "{subject} {rest}",
}
