"""Sentences about the values of a project: defaults, owner's criteria and limits."""

SENTENCES = {
    "default": "{subject}: {stated} (default)",
    "default_by_practice": "{subject}: {stated} (default; common practice, no source)",
    "default_edition": "edition: {stated} (default)",
    "default_x1_2_strength": "flexural strength in the bending check: {stated} (default)",
    "default_dry_case": "dry case, groundwater below the invert: checked (default)",
    "replaced": "replaced or removed: {key}",
    "earlier_evidence": "evidence of an earlier {kind}",
    "remaining": "still to be corrected: {fault}",
    "breach": "{subject}: {ours} of the project is less safe than the owner's {theirs}",
    "breach_live": "{subject} is less safe than the owner's {theirs}",
    "breach_of_row": "{subject} of the row is less safe than that of the criteria, {theirs}",
    "minimum_ovality": "{subject}{value} is under the owner's minimum of {limit}, which is used",
    "minimum_ovality_inventory": "{subject} is under the owner's minimum of {limit}, which is used",
    "minimum_ovality_live": "{subject} is under the owner's minimum, which is used",
    "under_limit": "{subject}{value} is under the owner's limit of {limit}",
    "under_limit_inventory": "{subject} is under the owner's limit of {limit}",
    "over_limit": "{subject}{value} is over the owner's limit of {limit}",
    "over_limit_inventory": "{subject} is over the owner's limit of {limit}",
}
