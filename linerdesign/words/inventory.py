"""Sentences about inventories: their files, columns, cells and rows, and their summary."""

SENTENCES = {
    # How a file was read
    "separator_semicolon": "columns separated by semicolons",
    "separator_tab": "columns separated by tabs",
    "separator_bar": "columns separated by vertical bars",
    "encoding_utf_16": "text encoding UTF-16",
    "encoding_cp1252": "text encoding Windows-1252 (assumed; the file is not UTF-8)",
    "decimal_comma": "decimal comma in numbers",
    "thousands": "numbers with thousands separators: {count}",
    "sheets": "only the first worksheet is read, {first}; not read: {rest}",
    "earlier": "columns of an earlier result replaced",
    # Files
    "empty": "empty file; give a table with a header",
    "no_table": "not readable as {form}: {why}",
    "too_wide": "more than {most} columns for a worksheet; write .csv or .parquet",
    "too_long": "more than {most} rows for a worksheet; write .csv or .parquet",
    "long_cell": "more than {most} characters for a worksheet cell; write .csv or .parquet",
    "order": "row or cell out of place, or given twice; open the workbook and save it anew",
    "stored": "the value does not match the type of the cell; enter it again and save the workbook",
    "formula": "formula without a stored value; recalculate the workbook and save it",
    "no_result": "not a result of `batch`: missing columns {columns}",
    # Geometry
    "no_layers": "no layers with geometry; --layer is for a GeoPackage with several",
    "several_layers": "several layers: {known}; choose one with --layer",
    "no_layer": "no such layer; the file has {known}",
    "no_layer_written": "not writable as {form}: {why}",
    "no_geometry": "the inventory has no geometry; write .csv .parquet .xlsx",
    "geometry_lost": "the inventory has geometry, which this form cannot hold; write {known}",
    "no_crs": "unknown coordinate system; correct it in the file",
    "crs_lost": (
        "GeoJSON can only name a coordinate system with an authority code; write .gpkg or .parquet"
    ),
    # Maps
    "no_map": "the inventory has no geometry to draw; give .gpkg, .geojson or GeoParquet",
    "map_empty": "no geometry to draw; give the lines of the pipes",
    "map": "Map of the pipes by {what}; {where}",
    "map_title": "{what}, by pipe: {title}",
    "map_where": "coordinates: {where}",
    "map_legend": "{what} (pipes)",
    "map_none": "no value",
    "map_other": "other",
    "map_no_crs": "coordinate system not stated, so no scale bar and no north arrow",
    "map_no_scale": ", which has no known place on the earth, so no scale bar and no north arrow",
    "map_without": "; rows without geometry, not drawn: {count}",
    # Frames
    "no_frame": "not a data frame of polars or pandas; convert it to one",
    "header_type": "column name that is not text; rename it",
    # Workers
    "no_scheduler": "no scheduler: {why}; start one, or correct the address",
    "no_workers": "the scheduler has no workers; start some",
    "other_version": "workers have another version; install version {version} on all",
    "no_package": "a worker cannot load the program: {why}; install it there too",
    "lost_workers": "workers lost: {why}; give them more memory, or leave out --scheduler",
    # Columns
    "no_column": "no such column; the table has {known}",
    "added": "name of a column of the result, without the others; rename it",
    "needless_unit": "unit for {name}, which takes none; remove it",
    "no_unit": 'no unit; write it in brackets, such as "{example}"',
    "wrong_unit": 'not a unit of {what}; write for example "{example}"',
    "no_cell": "key {name} cannot be given in a column; give it in the project file or rename",
    "not_of_pipe": "key of a {table}, not of a pipe; give it in the {table} table of the project",
    "near": (
        'not a key; rename it to "{known}" if that is meant; if not, rename it to something '
        'else, or, in batch, map it to "" (not read) in the file of --map'
    ),
    "no_key": "not a key of an inventory; correct the mapping file",
    "same_header": "column name used twice; rename one",
    "same_key": "several columns of {name}; keep one",
    "missing": 'missing column "{column}"; add it to the header',
    "leg": "column {column}: a row is one leg; size a line of several legs in a project file",
    "tube_short": "delivered wall of the tube below the required thickness or the owner's minimum",
    "tube_stretch": "stretch of the tube exceeds maximum_stretch of the resin",
    "tube_wall": "tube_thickness leaves no bore in a tube of this tube_diameter; correct one",
    "shape": "column {column} passes through unread; {why}",
    "no_cells": "column type {kind} cannot be used for a key; convert it to numbers or text",
    "nested": "column type {kind} can only be written to .parquet; remove it or convert it",
    "not_text": "not text; write a heading or a word in quotes",
    # Cells and rows
    "no_number": "not a number; write one such as {example}, its unit is in the header",
    "decimal_point": "decimal point beside decimal commas; write {example}",
    "surplus": "more cells than the header has; correct the row",
    "outside_table": "{limit}; use another method",
    "default": "{subject}: {stated} ({source})",
    # Findings
    "fails": "thickness does not meet all checks",
    "unusual": "{column} outside the usual range, {least} to {most} {unit}",
    "thick_wall": "nominal thickness over {most} mm: check the inputs",
    "far_above": "{column} over {fence}, far above the other rows",
    "far_below": "{column} under {fence}, far below the other rows",
    "duplicate": "name used by several rows",
    # Summary
    "title": "Inventory of liners",
    "heading": "Inventory",
    "of_file": "inventory: {file}, SHA-256 {sha}",
    "of_project": "criteria and resins: {file}, SHA-256 {sha}",
    "rows": "rows: {count}",
    "status": "{status}: {count}",
    "length": "length of pipes with a thickness: {length}",
    "mass": "mass of their walls: {mass}",
    "thick_walls": "of these, walls over {most} mm, which may come from wrong inputs: rows "
    "{count}, length {length}, mass {mass}",
    "over": "over {most}",
    "repeated": "rows that share their name with another row: {count}",
    "formulas": (
        "text cells that begin with = + - @ or a tab: {count}; a spreadsheet takes them for "
        "formulas when it opens a CSV file; in .xlsx they remain text"
    ),
    "by_thickness": "By nominal thickness",
    "by_size": "Pipes by nominal thickness and diameter",
    "by_governing": "Governing equations",
    "defaults": (
        "Defaults used, and the share of the first {sampled} rows whose nominal thickness changes "
        "with a tenth more or less"
    ),
    "findings": "Findings",
    "finding_rows": "Rows are counted from 1 below the header; each row has its own messages.",
    "by": "By {column}",
    "blank": "(blank)",
    "hints": "Columns not read",
    "errors": "Each row in error is in the table, with its reason.",
    "against": "Compared with {file}, by name",
    "thicker": "thicker",
    "thinner": "thinner",
    "same": "same thickness",
    "status_changed": "other status",
    "new": "new",
    "gone": "not in this inventory",
    "repeated_name": "name repeated: not compared",
    "changes": "Changes of nominal thickness",
}

# Heads of tables, by name.
TABLES = {
    "parts": ("length", "mass"),
    "walls": ("nominal, mm", "pipes", "length", "mass"),
    "crossed": ("nominal, mm",),
    "findings": ("kind", "finding", "rows", "example rows"),
    "bands": ("from, mm", "to, mm", "pipes"),
    "sizes": ("diameter", "nominal, mm", "pipes"),
    "apart": ("pipes", "count", "examples"),
    "defaults": ("default", "rows", "changed"),
    "governing": ("governing", "pipes"),
}
