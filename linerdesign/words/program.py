"""What the commands say of a run: titles, what to do next, how it ended, and what takes long."""

SENTENCES: dict[str, str] = {
    "not_all": (
        "completed; one or more pipes fail, are outside the scope, or are undecided: see Status"
    ),
    "not_confirmed": "completed; a stated value or a wall is not confirmed: see the comments",
    "interrupted": "interrupted, {result}",
    "system": "{why}; {result}",
    "memory": "not enough memory; {result}",
    "ended": "ended for lack of memory, as it seems; every file that is there is whole",
    "internal": "internal error ({kind}: {error}); please report it",
    "printing_stopped": "printing stopped ({why})",
    "files_complete": "printing stopped ({why}); the files named above are complete",
    "nothing_written": "nothing written",
    "closed_folder": "its folder can't be written",
    "complete": "these files are complete: {files}",
    "not_designed": "pipes with faults are not designed, the others are: see the schedule",
    "one_fault": "1 fault; {result}",
    "faults": "{count} faults; {result}",
    "more_faults": "and {count} more",
    "creep": "Long-term modulus from a creep test",
    "profile": "Shape of the host pipe",
    "equations": "Equations",
    "all_equations": "every equation of the package",
    "one_equation": "{number}, in every form of the package",
    "next": "written: {path}\nnext: {first}linerdesign {command} {path}",
    "next_condition": "give the condition {owner}; then ",
    "next_stated": "enter what the submittal states; then ",
    "checked_range": "{low:g} to {high:g} %, where the model has been checked",
    "most_tolerance": "{most:g} % at most: over that, any number agrees",
    "working": "{stage}, {seconds:.0f} s",
    "working_part": "{stage}, part {done} of {total}, {seconds:.0f} s",
}
