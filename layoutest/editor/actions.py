"""Every action of the window: one name, one shortcut, one line of help. Menus, tools and help are made from it."""

from __future__ import annotations

from typing import NamedTuple


class Action(NamedTuple):
    """Something the user can do. `keys` is its shortcut as `mods+key`, in the words of `KeyPressed`; also `more` ones.

    `menu` is the menu it stands in, empty for none; `picture` the pictogram of a tool.
    """

    id: str
    name: str
    help: str
    keys: str = ""
    menu: str = ""
    more: tuple[str, ...] = ()
    picture: str = ""


TOOLS = (
    Action(
        "pick", "Pick", "Pick legs, nodes and items by a click or a box; drag them to move them.", "p", "", (), "pick"
    ),
    Action("leg", "Leg", "Draw legs click by click; start on a leg to make a tee; type a length.", "l", "", (), "leg"),
    Action("rise", "Rise", "Rise or drop from a place to a level that you type.", "r", "", (), "rise"),
    Action("item", "Item", "Put a valve, flange, strainer, pump or meter into a leg.", "i", "", (), "item"),
    Action("support", "Support", "Put a support under a leg.", "s", "", (), "support"),
)

ACTIONS = (
    *TOOLS,
    Action("new", "Empty sheet", "Begin with an empty sheet.", "ctrl+n", "File"),
    Action(
        "open",
        "Open a layout …",
        "Open a layout from a file; a file can also be dropped on the window.",
        "ctrl+o",
        "File",
    ),
    Action(
        "save", "Save", "Write the layout to its file; the file's last state stays beside it as .bak.", "ctrl+s", "File"
    ),
    Action("save-as", "Save as …", "Write the layout to another file.", "ctrl+shift+s", "File"),
    Action("close", "Close the window", "Close; asks when something is not saved.", "ctrl+q", "File"),
    Action("undo", "Undo", "Take back the last edit; without limit.", "ctrl+z", "Edit"),
    Action("redo", "Redo", "Do again what was taken back.", "ctrl+y", "Edit", ("ctrl+shift+z",)),
    Action("cut", "Cut", "Copy what is picked and delete it.", "ctrl+x", "Edit"),
    Action("copy", "Copy", "Copy what is picked.", "ctrl+c", "Edit"),
    Action("paste", "Paste", "Paste what was copied, at the pointer.", "ctrl+v", "Edit"),
    Action("delete", "Delete", "Delete what is picked.", "delete", "Edit", ("backspace",)),
    Action("pick-all", "Pick everything", "Pick every leg, item and outline.", "ctrl+a", "Edit"),
    Action("turn", "Turn a quarter", "Turn what is picked a quarter to the left.", "t", "Edit"),
    Action("turn-back", "Turn a quarter back", "Turn what is picked a quarter to the right.", "shift+t", "Edit"),
    Action("mirror", "Mirror left to right", "Mirror what is picked about an upright line.", "m", "Edit"),
    Action("mirror-over", "Mirror top to bottom", "Mirror what is picked about a level line.", "shift+m", "Edit"),
    Action("join", "Join ends", "Join the picked end to the leg or the end that lies at its place.", "j", "Edit"),
    Action(
        "free-angle",
        "Free angles",
        "Draw at any angle in place of right angles and 45°; Alt held does it for one leg.",
        "f",
        "Edit",
    ),
    Action("fit", "Fit the sheet", "Show everything that is drawn.", "home", "Show"),
    Action(
        "zoom-in", "Nearer", "Show the sheet larger; the wheel does it at the pointer.", "ctrl++", "Show", ("ctrl+=",)
    ),
    Action("zoom-out", "Farther", "Show the sheet smaller.", "ctrl+-", "Show"),
    Action("bench", "Bench low, normal or tall", "Change the height of the bench.", "b", "Show"),
    Action(
        "bench-order", "Longest offcut first", "Order the bench by offcut, or as the sections are cut.", "o", "Show"
    ),
    Action(
        "pin",
        "Pin this routing",
        "Keep these figures to compare the next routing with; again lets them go.",
        "k",
        "Show",
    ),
    Action(
        "panel", "Open or fold the panel", "Lay the panel over the sheet, where the window is narrow.", "ctrl+p", "Show"
    ),
    Action("theme", "Light or dark", "Change between the light and the dark look.", "ctrl+d", "Show"),
    Action(
        "larger",
        "Larger interface",
        "Make all words and signs larger, up to 200 %.",
        "ctrl+shift++",
        "Show",
        ("ctrl+shift+=",),
    ),
    Action(
        "smaller",
        "Smaller interface",
        "Make all words and signs smaller, down to 100 %.",
        "ctrl+shift+-",
        "Show",
        ("ctrl+shift+_",),
    ),
    Action("help", "Help", "Show every action with its key.", "f1", "Show"),
    Action("let-go", "Let go", "End what is begun, then let go of what is picked.", "escape"),
)

BY_ID = {action.id: action for action in ACTIONS}
BY_KEYS = {keys: action for action in ACTIONS for keys in (action.keys, *action.more) if keys}
MENUS = ("File", "Edit", "Show")

# Fixed gestures of the hand, told by the help page; they are no actions of their own.
GESTURES = (
    ("Wheel", "Nearer or farther at the pointer"),
    ("Middle button, Space", "Held, drag the view"),
    ("Arrow keys", "Move what is picked by a grid step"),
    ("Shift arrow keys", "Move it by ten grid steps"),
    ("Tab, Shift Tab", "Go through the fields and buttons"),
    ("Figures, Enter", "Type a length of what is drawn or picked"),
    ("Alt held", "Free of the grid and of angles"),
)

_WORDS = {"ctrl": "Ctrl", "shift": "Shift", "alt": "Alt", "delete": "Del", "backspace": "Backspace", "escape": "Esc"}


def keys_of(key: str, mods: str) -> str:
    """The shortcut that a key press makes."""
    return f"{mods}+{key}" if mods else key


def words_of(keys: str) -> str:
    """A shortcut as it is shown: `Ctrl Shift S`."""
    if keys.endswith("+"):
        return " ".join([*map(_word, filter(None, keys[:-1].split("+"))), "+"])
    return " ".join(map(_word, keys.split("+")))


def _word(part: str) -> str:
    return _WORDS.get(part, part.upper() if len(part) <= 2 else part.capitalize())
