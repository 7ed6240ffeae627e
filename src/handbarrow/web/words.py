"""Words of the workbench that several pages share. Pages of their own kind have their words in `words_*.py`."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["PAGE", "PRODUCT", "SHEETS_OF", "WHAT", "WORK"]

PAGE = Words(
    "page",
    {
        "skip": "Go to the content",
        "projects": "Projects",
        "product": "Product",
        "workshop": "Workshop",
        "job": "Job",
        "bench": "Bench",
        "versions": "Saved states",
        "language": "Language",
        "name": "Handbarrow workbench",
        "error": "Error",
        "warning": "Warning",
        "note": "Note",
        "expected": "Expected:",
        "fix": "To mend it:",
        "not_done": "This was not done",
        "back": "Back",
        "pages": "Pages",
    },
)

PRODUCT = Words(
    "product page",
    {
        "check_outcome": "{value}, {verdict}",
        "check_says": "{title}: {value} of {limit}, {verdict}",
        "check_says_short": "{title}: {verdict}",
        "sizes": "Sizes",
        "size": "Size",
        "value": "Value",
        "formula": "Formula",
        "set": "Set",
        "undo": "Undo",
        "redo": "Do again",
        "results": "What comes out",
        "findings": "Findings",
        "parts": "Parts",
        "part": "Part",
        "quantity": "For one unit",
        "mass": "Mass",
        "price": "Materials",
        "price_open": "open: prices are missing",
        "one_unit": "One unit",
        "units": "Units in this batch",
        "changed": "Changed",
        "nothing_changed": "No part changed.",
        "view": "The product in three dimensions",
        "asked": "found so that {result} is {equals}",
        "changes": "Changes {count} parts",
        "yours": "Yours",
        "theirs": "There now",
        "ask": "Somebody else changed {name} since you read it. Which one is right?",
        "keep_yours": "Use yours",
        "keep_theirs": "Leave what is there",
        "unreadable": "A file cannot be read as it stands. Mend it in an editor, or go back to a saved state.",
        "card": "Bend card",
        "mirrored": "{count} of them mirrored",
        "stock": "Stock",
        "cut_length": "Cut length",
        "sheets": "On these sheets",
        "was_now": "{was}, now {now}",
    },
)

WHAT = Words(
    "saved state",
    {
        "opened": "opened in the workbench",
        "beside": "changed by another program: {files}",
        "size": "{name}: {was}, now {now}",
        "shop": "workshop: {where}",
        "prices": "prices taken over: {count}",
        "undo": "undone; as state {number}",
        "redo": "done again; as state {number}",
        "restore": "state {number} brought back",
        "when": "When",
        "what": "What",
        "bring_back": "Bring back",
        "this_one": "as it is now",
        "state": "State",
        "lead": "Every change is kept as a plain copy of both files in the folder .versions of the project.",
        "gone": "its copies are no longer there",
    },
)

SHEETS_OF = Words(
    "sheets of a part",
    {
        "lists": "Parts list",
        "shears": "Shears",
        "folder": "Folder",
        "sewing": "Sewing",
        "saw": "Cutting plan and lengths",
        "mitre": "Mitre wraps",
        "bender": "Bend card",
        "drill": "Drilling",
        "assembly": "Assembly",
        "buying": "Materials to buy",
        "inspection": "Inspection",
        "weld": "Welding",
    },
)

WORK = Words(
    "work",
    {
        "waiting": "waiting",
        "running": "working",
        "done": "done",
        "failed": "could not be done",
        "cancelled": "stopped",
        "folder": "All sheets and files",
        "pack": "Chosen sheets",
        "cutting": "Cutting plan",
        "stop": "Stop",
        "files": "Files",
    },
)
