"""Words a coach may look a key up by that do not stand in the action's own name."""

from __future__ import annotations

__all__ = ["USUAL_WORDS", "usual_words"]

USUAL_WORDS: dict[str, tuple[str, ...]] = {
    "loop repeat again": ("play over and over, or once",),
    "mute silent volume audio": ("sound on or off",),
    "audio sync align": ("put the angles together by sound",),
    "speed slow motion": ("slower",),
    "speed fast": ("faster",),
    "stop start run": ("play or pause",),
    "step frame by frame": ("one frame on", "one frame back", "a frame on", "a frame back"),
    "skip jump": ("ten frames on", "ten frames back"),
    "autoplay": ("plays run by themselves, angle after angle",),
    "camera view sideline end zone": ("other angle", "both angles at once"),
    "split screen": ("both angles at once",),
    "delete remove erase": (
        "take the drawing away", "take the play out of the book", "no play, and on to the next",
        "no fit", "drop it", "take the piece out", "throw the reel away", "discard the edits",
    ),
    "cancel revert reset": ("discard the edits",),
    "reset zoom full size": ("fit film to window",),
    "magnify zoom glass": ("loupe on the man chosen",),
    "pan scroll move": (
        "mark, point or zoomed film to the left", "mark, point or zoomed film to the right",
        "mark, point or zoomed film up", "mark, point or zoomed film down",
    ),
    "exposure lighter light": ("brighter",),
    "exposure": ("darker",),
    "full screen fullscreen": ("whole screen", "the film alone"),
    "theme mode night day colours": ("dark or light",),
    "font size zoom": ("larger text", "smaller text"),
    "trim cut clip crop": (
        "the play begins here", "the play ends here",
        "the play begins ½ s earlier", "the play ends ½ s later",
    ),
    "trigger commit": ("he goes here",),
    "previous": ("man before", "play before", "tier before", "finding before"),
    "comment": ("write a note",),
    "correct good": ("he was right", "all right, next play"),
    "wrong miss bad": ("answer: 1 to 9, 0 more",),
    "skip can't see": ("he can't be graded",),
    "missed tackle loaf": ("count an event",),
    "bookmark star": ("flag to show tomorrow",),
    "review": (
        "look closely at what is flagged, or leave", "look closely at this man, play after play",
    ),
    "alignment": ("how he lined up", "where they line up"),
    "substitute substitution swap": (
        "another man in, from here on", "another man in, on this play only",
    ),
    "depth chart personnel lineup": ("line-up of this period",),
    "flip mirror": ("turn the picture of the look",),
    "down distance personnel formation": ("what the play was: call, tempo, yards",),
    "practice game": ("another session",),
    "pen arrow circle annotate text line": ("draw on film",),
    "track": ("his path: hold, and follow him with the pointer",),
    "label caption": ("words on the mark",),
    "paste": ("put the copy on this frame",),
    "import": ("add film", "bring in a roster", "bring in another coach's grades (hand-off)"),
    "export share email": (
        "send my grades to another coach (hand-off)", "page for the staff's meeting",
        "reel for the players", "write the report", "write the grade sheet", "render to film",
        "write it as a file", "write the grid as a sheet", "write fit sheets of these men",
    ),
    "video mp4": ("reel for the players", "render to film"),
    "print": (
        "page for the staff's meeting", "write the report", "write the grade sheet",
        "write fit sheets of these men",
    ),
    "relink missing": ("find films that were moved",),
    "user name": ("say who grades",),
    "help shortcuts": ("all keys",),
    "help tutorial": ("tour of the Film page",),
    "cancel": ("stop the work",),
    "focus": ("next part of the window", "part of the window before"),
    "quit exit": ("leave gradecut",),
    "save": ("keep and put in force",),
    "history": ("versions kept",),
    "filter": ("choose the group", "choose sessions"),
}  # fmt: skip
"""Words with a space between them, and the names of the actions that they find too."""


def usual_words(name: str) -> str:
    """Return the words that find an action besides its name; empty for none."""
    return " ".join(words for words, names in USUAL_WORDS.items() if name in names)
