"""Words of the desk: its page, its notices, and faults of what is done there."""

# What the keys of one group state together.
GROUPS = {
    "diameter": "host diameter",
    "ovality": "ovality",
    "cover": "cover",
    "water": "groundwater",
    "pressure": "pressure",
}

# Heads of columns, where the key itself is too long.
HEADS = {
    "host_diameter": "diameter",
    "groundwater_above_invert": "water above invert",
    "groundwater_above_crown": "water above crown",
    "groundwater_below_surface": "water below grade",
    "groundwater_elevation": "water elevation",
    "groundwater": "no water",
    "maximum_diameter": "max. diameter",
    "minimum_diameter": "min. diameter",
    "soil_unit_weight": "soil weight",
    "soil_reaction_modulus": "soil modulus",
    "flexural_modulus": "modulus, initial",
    "flexural_strength": "strength, initial",
    "modulus_retention": "modulus retention",
    "strength_retention": "strength retention",
    "thickness_step": "increment",
}

# Choices in a narrow column.
SHORT = {"partially deteriorated": "partial", "fully deteriorated": "full"}

SENTENCES = {
    # A new project
    "new_title": "Untitled",
    "new_resin": "Resin 1",
    "new_pipe": "Pipe 1",
    # The page
    "title": "Title of the work",
    "design": "Design",
    "review": "Review",
    "compare": "Compare",
    "views": "Views",
    "tools": "Project",
    "new": "New",
    "open": "Open",
    "save": "Save",
    "save_as": "Save as",
    "undo": "Undo",
    "redo": "Redo",
    "export": "Documents",
    "export_pdf": "Calculation, PDF to seal",
    "export_workbook": "Workbook with live formulas",
    "export_page": "Web page",
    "export_data": "Data, JSON",
    "export_text": "Plain text",
    "export_letter": "Review letter, PDF",
    "export_comparison": "Comparison of systems, PDF",
    "ask_name": "Save the project in {folder} as",
    "ask_open": "Open a project of {folder}",
    "ask_units": "Units of a new project",
    "cancel": "Cancel",
    "ok": "OK",
    "download": "Download {name}",
    "cancelled": "{name}: cancelled",
    "failed": "{name}: not made. {text}",
    "stage": "step {stage} of {stages}",
    "done": "{name} is ready",
    "saved": "saved",
    "unsaved": "not saved; kept in a draft",
    "untitled": "no file yet",
    "nothing_yet": "nothing typed",
    "working": "calculating",
    "offline": (
        "The desk does not answer. Go on: what you type is kept in this browser and is sent when "
        "it answers again ({count} waiting)."
    ),
    "restarted": (
        "The desk was started anew. Open the address that it printed; what was typed here and not "
        "sent is offered there."
    ),
    "waiting": "{count} changes were typed while the desk was not running.",
    "apply": "Apply them",
    "discard": "Discard them",
    "refused": "Not taken: {text}",
    # Tables and fields
    "pipes": "Pipes",
    "resin": "resin",
    "resins": "Resins",
    "criteria": "Criteria of the owner",
    "limits": "Limits of the owner",
    "defaults": "Values for pipes without their own",
    "title_block": "Title block",
    "basis": "Design basis: resins and criteria",
    "add_row": "Add row",
    "copy_row": "Duplicate",
    "remove_row": "Remove",
    "sort_up": "Sort up",
    "sort_down": "Sort down",
    "fill_down": "Fill down",
    "columns": "Columns",
    "paste_help": (
        "Hatched fields are to be filled in. Paste cells from a spreadsheet at the cursor, or with "
        "a header of key names. Arrow keys and Enter move; Ctrl+D fills down, Ctrl+Enter adds a "
        "row, Ctrl+Z undoes."
    ),
    "row_number": "no.",
    "unit_of": "unit of {name}",
    "required": "required",
    "nominal": "nominal",
    "governs": "governs",
    "factor": "min. N",
    "status": "status",
    "choose": "choose",
    "fill_in": "to fill in: {list}",
    "faulty": "{count} to correct",
    "in_file": "(table in the file)",
    "default_is": "{text} (default)",
    "source": "Source",
    "source_of": "source of {name}",
    "given_by": "given by",
    "value": "Value",
    "values_of": "Values of {name}",
    "more_values": "Other values",
    "no_sheet": "The calculation appears when the values of this pipe are complete.",
    "stations": "Stations",
    "station_help": "Values that differ along the pipe; the worst station governs.",
    "at": "at",
    "add_station": "Add station",
    "remove_station": "Remove station",
    "resin_sources": "Source of the resin's values",
    # Review
    "pipe": "Pipe",
    "submitted": "submitted",
    "ours": "recheck",
    "replayed": "from their values",
    "difference": "difference",
    "place": "page, line",
    "item": "item",
    "add_item": "Add a line of the submittal",
    "comments": "Comments",
    "contradictions": "Contradictions within the submittal",
    "disposition": "Proposed disposition: {text}. The engineer decides.",
    "verdict": "Submitted wall: {text}.",
    "here": "departs here",
    "follows": "follows an earlier departure",
    "agrees": "agrees",
    "differs": "differs",
    "correction": "must correct",
    "question": "please answer",
    "remark": "note",
    "upload": "Read a submittal (PDF, workbook, DOCX, CSV, text)",
    "unsure": "Read, to be confirmed",
    "take": "Take",
    "not_understood": "Not understood",
    "nothing_stated": "Enter what the submittal states, or read it from a document.",
    "letter": "Letter to the contractor",
    # Compare
    "by": "Rank by",
    "by_thickness": "thickness",
    "by_mass": "mass",
    "by_cost": "cost",
    "by_annual-cost": "annual cost",
    "run_compare": "Compare",
    "systems": "Systems on every pipe",
    "systems_caption": (
        "Nominal thickness in mm and governing equation; for a range of properties by the worst, "
        "and in brackets by the best"
    ),
    "wall": "{nominal}, {governing}",
    "no_wall": "none",
    # Notices
    "notice_restored": "Changes that were not saved, of {when}, were taken up from {name}.",
    "notice_changed_on_disk": (
        "Another program has changed {name} since it was opened here. Both versions are kept."
    ),
    "notice_pipe_table": (
        "The pipes of the table {name} have no rows here; edit them in the table. Documents "
        "include them."
    ),
    "notice_draft_elsewhere": "Another desk keeps a draft here; this one is kept in {name}.",
    "notice_no_draft": "The draft cannot be written: {why}. Save under another name.",
    "notice_paste_left": "Not pasted: {left}.",
    "act_undo": "Back to the file as saved",
    "act_dismiss": "Dismiss",
    "act_keep_mine": "Save mine; keep the other version beside it",
    "act_take_theirs": "Open the other version; Undo brings mine back",
    "cautions": (
        "To be reviewed and sealed by a licensed engineer before use. The owner decides the "
        "condition of the host and the parameters. Local codes take precedence."
    ),
    # Faults
    "too_long": "file of more than {most} MB: too large for the desk; use `size` and `batch`",
    "out_of_order": (
        "tables that the desk cannot edit in {where}; write each [[resin]] and [[pipe]] with "
        "its own tables directly below it"
    ),
    "not_written": "{where}: the value has no place in the file; correct the file itself",
    "no_row": "no such row; it may have been removed in another window",
    "no_key": "no such key in this table",
    "too_many_rows": "more than {most} rows; use `batch` for an inventory",
    "too_many_edits": "more than {most} changes at once; send fewer",
    "paste_too_large": "more than {most} cells, or a cell too long; paste less",
    "column_left": "column {name} (no key of this table)",
    "columns_beyond": "{count} columns beyond the last one of the table",
    "name": (
        "not a name for a project here; use a name ending in .toml, without a folder, in the "
        "folder of the desk"
    ),
    "no_name": "no file yet; give the project a name ending in .toml",
    "exists": "a file of this name exists; give another name, or open it",
    "changed_on_disk": "changed by another program since it was opened; choose which to keep",
    "no_result": "this pipe has no result yet; complete its values",
    "no_document": "unknown document; use one of {known}",
    "too_many_jobs": "{most} documents under way; wait for one, or cancel it",
    "no_job": "no such document under way",
    "no_pipe_of": "no pipe here has a name of the document ({names}); rename the pipes first",
    "too_large": "larger than the desk takes",
    "not_understood_request": "not understood",
    "no_extra": (
        "the desk needs the extra `desk`: install it with `pip install 'linerdesign[desk]'`"
    ),
    "port": "port {value} is taken or not allowed; give another with --port",
    "address": "linerdesign desk: {address}",
    "stop": "Ctrl+C stops it. It serves this machine only.",
}
