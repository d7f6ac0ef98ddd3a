"""Sentences of a planning table."""

SENTENCES: dict[str, str] = {
    # Faults
    "too_many_cells": "more than {most:,} cells; give fewer values",
    "above_ground": "pipe above ground: no cover and no groundwater to vary; choose a buried pipe",
    "missing_key": "missing key {key} in {where}, required for a {condition} host; add it",
    "outside_table": "{why}; use another method or other values",
    "under_invert": "below every invert (lowest {invert}); the pipe states its water as an "
    "elevation: give an elevation above it, or leave --water out for heights above the invert",
    # Tables
    "title": "Planning table of liner thickness",
    "heading": "{resin}, {condition}",
    "heading_water": "{resin}, {condition}; {water}",
    "tab": "{resin} {condition} {height}",
    "full": "FD",
    "partial": "PD",
    "water": "{datum}: {height}",
    "caption": "Nominal thickness, mm, by host diameter and cover; {water}",
    "cover": "cover {cover}",
    "legend": "governing equation: {letters}",
    "legend_minimum": "M owner's minimum",
    "letter": "{letter} {equation}",
    "marks": "* caution; ! outside the method; x fails a check",
    "stations": "governing station: {stations}",
    "station": "{number}: {at}",
    "resins": "evidence for the long-term properties: {legend}",
    "planning": "for planning only: design each pipe with its own values",
    "about": "About these tables",
    "pipe": "values not varied are those of pipe {pipe}",
    "datum": "water: {datum}; cover: depth of cover to crown",
    "own_water": "the pipe's own water, stated as {datum}, is not used",
    "all_stations": "the pipe has {count} stations; the worst governs each cell",
    "one_station": "the pipe has {count} stations; station {at} governs every cell",
    "notes": "Notes",
    "cells": "Cells: {table}",
    "cells_tab": "Cells {number}",
    "held_fixed": "Held fixed",
    "held_fixed_of": "Held fixed: {table}",
    "criteria": "Criteria",
    "default": "default",
    "combined": "of trench and native soil",
    "combining": "combining table of AWWA M45, {table}",
    "table": "the table {table}",
    "at": "{meaning} (at {at})",
}

# Heads of tables, by name.
TABLES = {
    "fixed": ("symbol", "quantity", "value", "unit"),
    "thicknesses": ("diameter",),
    "assumptions": ("assumption", "symbol", "value", "source"),
    "criteria": ("criterion", "value", ""),
}
