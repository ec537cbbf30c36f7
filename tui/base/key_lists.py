"""Every key of the walk screen, declared once; binding, footer, help and find all come from here."""

from tui.base.commands import Command

STAGE = "Stages"
WORK = "Sheet"
LOG = "What happened"
SHOW = "Show"
JOB = "Job"

WALK_COMMANDS = (
    Command(
        "tick",
        "space",
        "tick",
        "Tick the cell under the cursor, or open it again; on a row's name, all its plain checks. A reading is typed.",
        WORK,
    ),
    Command("fill", "f", "fill", "Tick every open plain check of this column from the top to here.", WORK),
    Command("next_page", "tab", "page", "Next page: sheet, picture, card, findings, figures.", SHOW, first=True),
    Command(
        "next_stage", "n", "next", "Next stage. Alt and its number goes straight to one, the number alone where no cell is read.", STAGE
    ),
    Command("log", "l", "log", "Log what happened: obstacle, move, tree, post added or left out, new way, delivery, note, photo.", LOG),
    Command(
        "enter", "e", "enter", "Enter what was measured and agreed: points, shots, site, lines, gates, yards, dogs, fence, stock.", WORK
    ),
    Command("guide", "h", "how to", "How this stage is done, with its cautions.", SHOW),
    Command("undo", "u,ctrl+z", "undo", "Take back the last change.", LOG),
    Command("only_open", "o", "open", "Show only rows with something open, or all again.", WORK),
    Command("log_page", "g", "logged", "All that was logged, the newest first: go to its place, or strike what was wrong.", LOG),
    Command(
        "call_shot",
        "c",
        "call shot",
        "The next shot as it is called out, in the row below the survey's sheet. Enter on a shot puts that one right.",
        WORK,
        in_footer=False,
    ),
    Command(
        "not_needed",
        "x",
        "not needed",
        "Mark the item under the cursor as not needed here; for a reading it asks why.",
        WORK,
        in_footer=False,
    ),
    Command(
        "photo",
        "i",
        "photo",
        "Name a picture file beside the tick under the cursor, or take one off it again.",
        WORK,
        in_footer=False,
    ),
    Command("move", "m", "move", "Move the chosen post and see what that changes before you accept it.", LOG, in_footer=False),
    Command("redo", "r,ctrl+y", "redo", "Redo the change that was taken back.", LOG, in_footer=False),
    Command(
        "accept",
        "a",
        "accept plan",
        "Accept the proposed layout as the plan; later, lay out afresh what isn't driven.",
        LOG,
        in_footer=False,
    ),
    Command("previous_page", "shift+tab", "page back", "Previous page.", SHOW, in_footer=False, first=True),
    Command("open('sheet')", "escape", "sheet", "Back to the sheet.", SHOW, in_footer=False),
    Command("picture", "v", "picture", "Change the picture: plan, braces, line from the side, apron, gate.", SHOW, in_footer=False),
    Command("previous_stage", "p", "stage back", "Previous stage.", STAGE, in_footer=False),
    Command("find", "slash", "find", "Find any post, bay, loop, gate, item or finding.", SHOW, in_footer=False),
    Command(
        "materials",
        "t",
        "materials",
        "What the fence needs against what the truck carries; h there: how long it will take.",
        SHOW,
        in_footer=False,
    ),
    Command("layouts", "j", "layouts", "The layout and its alternatives side by side: keep one, take one.", JOB, in_footer=False),
    Command("record", "b", "record", "What was built, as the office will read it.", JOB, in_footer=False),
    Command("sign", "s", "sign off", "Sign the job off; that seals the file. A sealed job is reopened.", JOB, in_footer=False),
    Command(
        "who",
        "w",
        "who",
        "Say who is working; the name goes beside every tick and log entry, and is kept for this laptop.",
        JOB,
        in_footer=False,
    ),
    Command("app.light", "d", "sun or dusk", "Light colours for sun, dark ones for dusk.", JOB, in_footer=False),
    Command("save", "ctrl+s", "save", "Saving happens by itself; this tries again after the disk failed.", JOB, in_footer=False),
    Command("help", "question_mark,f1", "keys", "The keys that work here.", SHOW),
    Command("leave", "q,ctrl+q", "quit", "Leave. Saving happens by itself; it waits for what isn't on disk yet.", JOB),
)

MOVING = "In the sheet"

SHEET_COMMANDS = (
    Command("move('walk', -1)", "up", "up", "Up to the next cell in which something is asked.", MOVING),
    Command("move('walk', 1)", "down", "down", "Down to the next cell in which something is asked.", MOVING),
    Command("move('across', -1)", "left", "left", "Along the row, back to its name.", MOVING),
    Command("move('across', 1)", "right", "right", "Along the row.", MOVING),
    Command("move('to_end', -1)", "home", "first", "The first cell of this column; from there the first row of the sheet.", MOVING),
    Command(
        "move('to_end', 1)", "end", "last", "The last cell of this column, f fills it then; from there the last row of the sheet.", MOVING
    ),
    Command("leaf(-1)", "pageup", "page up", "A screenful up.", MOVING),
    Command("leaf(1)", "pagedown", "page down", "A screenful down.", MOVING),
    Command("into", "enter", "go there", "Tick the cell, or go where the row leads.", MOVING),
)

READING_COMMANDS = (
    Command("app.press('enter')", "enter", "keep", "Keep what was typed; out of range it asks why.", MOVING),
    Command("app.press('escape')", "escape", "leave it open", "Leave the cell as it was.", MOVING),
)
"""While a reading or its reason is typed; letters are its own then."""

ALT_NUMBERS = "¡™£¢∞§¶•ª"
"""What Alt and a number from 1 to 9 reach us as from a Mac's own terminal: the sign that they type there."""

PAGE = "This page"

LOG_PAGE_COMMANDS = (
    Command("open", "enter", "go there", "Go to the place of the entry under the cursor: its post, its loop, its item.", PAGE, first=True),
    Command("strike", "s,x,delete", "strike", "Strike the entry under the cursor; what that changes is shown first.", PAGE),
    Command("find", "slash", "find", "Find the next entry that holds these words.", PAGE),
    Command("undo", "u,ctrl+z", "undo", "Take back the last change.", PAGE),
    Command("redo", "r,ctrl+y", "redo", "Redo the change that was taken back.", PAGE, in_footer=False),
    Command("help", "question_mark,f1", "keys", "The keys that work here.", PAGE),
    Command("back", "escape,q,g", "back", "Back to the job. Saving happens by itself.", PAGE),
)

ENTRY = "Entry"
FORM = "Form"

ENTRY_COMMANDS = (
    Command("open", "enter", "open", "Enter a new record of the kind under the cursor, or correct the record under it.", ENTRY, first=True),
    Command("add", "a", "new", "Enter a new record of the kind that is shown.", ENTRY),
    Command("to_records", "right", "records", "Go to the records of the kind under the cursor.", ENTRY, first=True),
    Command("to_kinds", "left", "kinds", "Go back to the kinds.", ENTRY, in_footer=False, first=True),
    Command("book", "b", "book", "Shots one a line as they are called out; the one under the cursor is put right so.", ENTRY),
    Command("remove", "x,delete", "take out", "Take out the record under the cursor.", ENTRY),
    Command("undo", "u,ctrl+z", "undo", "Take back the last change.", ENTRY),
    Command("redo", "r,ctrl+y", "redo", "Redo the change that was taken back.", ENTRY, in_footer=False),
    Command("materials", "t", "materials", "What the fence needs against what the truck carries.", ENTRY, in_footer=False),
    Command("help", "question_mark,f1", "keys", "The keys that work here.", ENTRY),
    Command("back", "escape,q,e", "back", "Back to the job. Saving happens by itself.", ENTRY),
)

FORM_COMMANDS = (
    Command("save", "enter", "save", "Enter the record. A new one is followed by the next, with the last choices kept.", FORM, first=True),
    Command("next_field", "tab", "next field", "The field below.", FORM, first=True),
    Command("previous_field", "shift+tab", "field above", "The field above.", FORM, in_footer=False, first=True),
    Command("undo", "ctrl+z", "undo", "Take back the last change.", FORM),
    Command("redo", "ctrl+y", "redo", "Redo the change that was taken back.", FORM, in_footer=False),
    Command("help", "f1", "keys", "The keys that work here.", FORM),
    Command("back", "escape", "back", "Leave the form. What was entered stays.", FORM),
)
