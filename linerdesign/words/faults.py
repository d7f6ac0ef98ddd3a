"""Sentences about faults in input: the fault, then the remedy.

A sentence without {key}, {value} or {where} follows the key and the value as given, and is
followed by the place.
"""

SENTENCES = {
    "cell_takes": "a number with a decimal point{limits}",
    "cell_takes_or_empty": (
        "a number with a decimal point{limits}; an empty cell where there is no reading"
    ),
    # Quantities
    "not_text": "must be {what}, in quotes with its unit, such as {example}",
    "not_a_quantity": "not a number with a unit; give {what}, such as {example}",
    "no_unit": "no unit; add it after the number, such as {example}",
    "unknown_unit": "unknown unit {unit}; use a unit of {what}, such as {example}",
    "wrong_unit": "{unit} is not a unit of {what}; give for example {example}",
    "size": "not a possible value; give {what}, such as {example}",
    "out_of_range": "out of range; give {range}",
    "not_a_number": "must be a number without quotes or unit, such as {example}",
    "decimal_comma": "comma in a number; use a decimal point, such as {example}",
    "comma_of_two_meanings": "ambiguous comma; write {thousands} or {point}",
    "unit_of_two_meanings": "ambiguous unit {unit}; write {one} or {other}",
    "several_numbers": "more than one number; give {what}, such as {example}",
    "a_station": "station in place of a quantity; give {what}, such as {example}",
    "range_reversed": "range with the larger value first; write the smaller value first",
    "several_values": "range in place of one value; only `compare` takes ranges: write one value, "
    "and the range under `uncertainty`",
    "triangular": 'not three values; write for example "triangular 35 %, 50 %, 60 %"',
    "normal": 'no standard deviation; write for example "{shape}, sd 10 %" or "{shape} 6 ft, '
    'sd 2 ft"',
    "no_width": "standard deviation of zero; give a larger one",
    "lognormal_mean": "mean of a lognormal distribution that is not positive; give a larger one",
    "inches_over_a_foot": "12 inches or more beside feet; write fewer inches",
    "zero_below": "fraction over zero; write another fraction",
    # Words
    "no_words": "must be text, in quotes: {example}",
    "no_text": "empty; fill it in or remove the key",
    "choice": "unknown value; use {choices}",
    "price": 'not a price; write one over zero per mass with its currency, such as "3.10 USD/kg"',
    "price_per_length": (
        'not a price; write one over zero per length with its currency, such as "18 USD/ft"'
    ),
    "money": 'not an amount; write a number over zero with its currency, such as "4000 USD"',
    "no_water": 'only "none" is allowed; give a water level by {keys}',
    "truth": "must be true or false, without quotes",
    "not_a_list": "must be a list, in square brackets",
    "not_braces": "must be a table, in braces: {{ key = value }}",
    "entries": "{count} entries; give {least} to {most}",
    # Tables and keys
    "not_a_table": "must be a table of keys and values",
    "missing_key": "missing required key {key} in {where}",
    "missing_key_for": "missing required key {key} in {where}: {why}",
    "missing_one_of": "missing key in {where}: give {how} of {keys}",
    "missing_table": "missing table {table}",
    "several_of": "{keys} given together; keep only one of them",
    "only_beside": "no effect without {keys}; add that, or remove this key",
    "unknown": "unknown {what} {word}; known: {known}",
    "unknown_near": "unknown {what} {word}; did you mean {known}?",
    "misplaced": "unknown key {key} here; it belongs in {table}",
    "not_circular": "unknown key {key}; {why}",
    "no_such_shape": "no such shape: {why}",
    "duplicate": "duplicate {what} name {name} ({what}s {numbers}); rename one",
    "duplicate_station": "duplicate station {name}; rename one",
    "too_many": "{count} tables in one project, at most {most}; use `batch` for an inventory",
    "above_ground": "no such key for a pipe above ground; remove it",
    # One pipe as a whole
    "differing_stations": (
        "stations differ in datums, kinds of load or methods; use the same ones at every station"
    ),
    "unknown_resin": "no such resin; use one of {known}",
    "no_thickness": "the values result in no finite thickness ({why}); check them",
    "outside_table": "{shown} is outside the published table ({limit}); use another method",
    "stations_key": "given at a station, where it would override the measured value; remove it",
    "has_value": "has a value already; use --force to replace it",
    # Values that exclude each other
    "under_mean": "smaller than the host ({diameter}); check both",
    "over_mean": "larger than the host ({diameter}); check both",
    "ovality_of_100": "results in an ovality of 100 % or more; check the diameters",
    "no_cover": "invert at or above the crown: no cover left; check the depth of the invert",
    "hole_too_large": "not smaller than the host ({diameter}); check both",
    "over_one_atmosphere": "more than one atmosphere; give at most 14.7 psi or 101.3 kPa",
    "no_bore": "no bore left in the host ({diameter}); give a thinner wall",
    # Soils, loads
    "no_compaction": "no compaction; add it after a comma: {known}{more}",
    "by_depth": "; or, for the table by depth, {known}",
    "compaction": "unknown compaction; use one of {known}",
    "unknown_soil": 'not a soil of {table}; use one of {known}, or a modulus such as "1000 psi"',
    "no_data": "{table} has no value for this soil and compaction; give a modulus",
    "native": (
        'not readable; give a modulus, or native soil such as "stiff cohesive", "loose granular" '
        'or "12 blows"'
    ),
    "blows": "blow count under 1; give 1 or more",
    "native_words": "unknown native soil; use one of {known}",
    "load_near": "unknown live load; did you mean {known}?",
    "load": 'unknown live load; use {known}, "none", or a pressure such as "1.2 psi"',
    "load_needs": "{method} needs {keys}; add {keys}",
    "load_takes_no": "{method} takes no {keys}; remove {keys}",
    "load_has_impact": "{method} includes impact; remove impact_factor",
    # Stated values
    "not_a_ratio": 'must be a number without a unit, in quotes, such as "0.836"',
    "negative": "negative; give zero or more",
    # Files
    "not_found": "file not found: {where}",
    "unusable_file": "{why}",
    "no_such_file": "file not found",
    "unreadable": "cannot read {where}: {why}",
    "unwritable": "cannot write {where}: {why}",
    "too_large": "file of more than {most} MB: {where}",
    "not_utf8": "not UTF-8 text: {where}; save it as UTF-8",
    "not_toml": "not valid TOML: {where}: {why}",
    "unquoted": "put the value in quotes: {key} = {value}",
    "key_twice": "{key} is given twice in one table; remove one",
    "too_deep": "nesting or numbers beyond reason in {where}",
    "empty": "empty file: {where}; add {tables}",
    "not_a_file": "not a file: {where}",
    "exists": "{where} exists; use --force to overwrite (in Python force=True)",
    "is_read": "{where} is a file that this calculation reads; choose another name",
    "given_twice": "{where} is given twice; give each output a name of its own",
    "changed": "{where} was changed meanwhile by another program; run the command again",
    "is_folder": "{where} is a folder; give the name of a file",
    "no_file": "{where} is not a regular file; give another name",
    "no_folder": "folder not found: {folder}; create it first",
    "suffix": "unknown file type: {where}; use a name ending in {known}",
    "needs_extra": (
        'library {library} is not installed; install it with: pip install "linerdesign[{extra}]"'
    ),
    "no_folder_for_owner": "owner's criteria need a project read from a file; pass them separately",
    "outside_folder": (
        "not beside the project or in a folder under it; move it there, or name it by an option"
    ),
    "key_type": "key is not text",
    "value_type": "unusable value; give text, a number, a list or a table",
    # Tables of measurements
    "no_readings": "no readings in {where}; give a header line and rows of readings",
    "not_csv": "not a CSV text file in UTF-8: {where}, byte {byte}",
    "unclosed_quote": "quote opened and not closed; close it, or write inch marks as two quotes",
    "cell_size": "cell of more than {most} characters, or unclosed quote; correct it",
    "zero_byte": "zero byte in the text; save the file as CSV in UTF-8",
    "semicolons": "columns separated by semicolons; separate them by commas",
    "column_twice": "column given twice; remove one",
    "unit_of_text": "unit for a column of text; remove it",
    "column_unit": "missing or unknown unit in the header; write {known}",
    "columns_missing": "incomplete columns ({found}); give {known}",
    "columns_several": "conflicting columns ({found}); keep one of {known}",
    "too_many_rows": "more than {most} rows; split the file",
    "cells": "{found} cells in place of {width}; separate by commas, decimals with a point",
    "no_name": "empty cell; give a name",
    "cell": "not a usable value; give {takes}",
    "cell_comma": "decimal comma; write a decimal point",
    "more": "{count} more faults; make the same corrections to the end",
    # Arguments
    "argument": "unknown value; use {known}",
    "no_such": "no such {what}; use one of {known}",
    "nothing_stated": (
        "no stated values in {where}: add [pipe.stated] to at least one pipe, with what the "
        "submitted calculation states"
    ),
    "option_range": "out of range: {range}",
    "not_whole": "not a whole number of zero or more",
    "outside": "outside {least} to {most}",
    "time": 'not a time; write it with its unit, such as "1 h" or "50 years"',
    "one_table": "not exactly one table to write; give one name ending in {known}",
    "same_file": "the file that is read; --force does not overwrite it; give another name",
    "needs_option": "works only with {option}; add it",
}
