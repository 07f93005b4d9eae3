"""Everything that can be done on the Film page: one table for menu, keys and cheat sheet."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["FILM_ACTIONS", "FilmAction"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmAction:
    """One action.

    Attributes
    ----------
    name, group : str
        What it does, and the heading it stands under.
    keys : tuple of str
        In Qt's portable words; empty for what has none.
    method : str
        What does it, from the film desk on: "judging.right"; "page.", "stage." and "doors."
        are the page's own: what is on screen only, and what opens over it.
    repeats : bool
        Goes on while the key is held.
    """

    name: str
    keys: tuple[str, ...]
    group: str
    method: str
    repeats: bool = False


def _group(group: str, *rows: tuple[str, str, str]) -> tuple[FilmAction, ...]:
    """Make actions of (name, keys apart by spaces, method); a * at its end: repeats."""
    return tuple(
        FilmAction(
            name=name,
            keys=tuple(keys.split()),
            group=group,
            method=method.rstrip("*"),
            repeats=method.endswith("*"),
        )
        for name, keys, method in rows
    )


FILM_ACTIONS: tuple[FilmAction, ...] = (
    *_group(
        "Grade",
        ("all right, next play", "Return", "pass_clip"),
        ("answer: 1 to 9, 0 more", "1", "page.answer_1"),
        ("next man", "Tab Down", "hand.next_man"),
        ("man before", "Shift+Tab Up", "hand.previous_man"),
        ("he was right", "R", "judging.right"),
        ("he played another fit", "O", "hand.open_fits"),
        ("he can't be graded", "U", "hand.open_reasons"),
        ("how he lined up", "Alt+L", "hand.open_lined_up"),
        ("technique and effort", "T", "hand.open_points"),
        ("count an event", "E", "hand.open_events"),
        ("write a note", "N", "page.write_note"),
        ("flag to show tomorrow", "F", "judging.flag"),
        ("look closely at what is flagged, or leave", "Ctrl+F", "rounds.flagged"),
        ("look closely at this man, play after play", "Ctrl+E", "rounds.of_man"),
        ("my word on what he owed", "W", "hand.open_owed"),
        ("he owed a fit that is not listed", "Alt+W", "judging.ask_new_fit"),
        ("history of his rep", "Ctrl+H", "doors.show_history"),
        ("the other coach's grades beside", "Alt+B", "doors.show_beside"),
        ("next play another coach sees otherwise", "Alt+U", "doors.next_difference"),
        ("back one step", "Escape", "page.back"),
    ),
    *_group(
        "The play",
        ("next play", "PgDown Ctrl+Right", "next_clip"),
        ("play before", "PgUp Ctrl+Left", "previous_clip"),
        ("next play that waits", "J", "next_open"),
        ("facts of the look", "L", "hand.open_facts"),
        ("put the open question off, or ask it", "Q", "hand.open_question"),
        ("turn the picture of the look", "Alt+T", "on_picture.turn_on"),
        ("go into the picture, or leave it", "Alt+G", "page.look.keys.turn"),
        ("print the picture", "Ctrl+P", "doors.print_look"),
        ("another man in, from here on", "I", "lining.substitute"),
        ("another man in, on this play only", "Alt+I", "lining.on_this_play"),
        ("an unknown man in, from here on", "Ctrl+U", "lining.unknown"),
        ("he lined up on the other side", "Alt+S", "lining.turn_side"),
        ("line-up of this period", "Ctrl+I", "doors.line_up"),
        ("name an unknown man, everywhere", "Alt+N", "doors.name_man"),
        ("what the play was: call, tempo, yards", "Alt+C", "doors.tell_play"),
        ("the script beside the plays", "Alt+X", "doors.show_script"),
        ("no play, and on to the next", "D", "telling.drop_play"),
        ("take the play out of the book", "Alt+D", "telling.take_play_out"),
        ("move the pairing of angles", "P", "hand.open_pairing"),
        ("another session", "Ctrl+J", "hand.open_sessions"),
    ),
    *_group(
        "Film",
        ("one frame on", "Right", "moving.forward*"),
        ("one frame back", "Left", "moving.backward*"),
        ("ten frames on", "Shift+Right", "moving.far_forward*"),
        ("ten frames back", "Shift+Left", "moving.far_backward*"),
        ("play or pause", "Space", "moving.play_or_pause"),
        ("plays run by themselves, angle after angle", "Ctrl+Space", "running_on.turn"),
        ("slower", ",", "moving.slower"),
        ("faster", ".", "moving.faster"),
        ("to the snap", "S", "moving.to_snap"),
        ("to his first step", "G", "moving.to_step"),
        ("to the next moment", "Ctrl+Shift+Right", "moving.to_next_moment"),
        ("to the moment before", "Ctrl+Shift+Left", "moving.to_moment_before"),
        ("to the start", "Home", "moving.to_start"),
        ("to the end", "End", "moving.to_end"),
        ("play over and over, or once", "Y", "moving.turn_loop"),
        ("other angle", "A", "other_angle"),
        ("both angles at once", "Alt+A", "second.turn"),
        ("put the angles together by sound", "Alt+P", "doors.put_together"),
        ("sound on or off", "H", "hearing.turn"),
        ("what kind of film it is, and its faults", "Alt+F", "told.tell"),
    ),
    *_group(
        "On screen",
        ("zoom in at the pointer", "+ =", "stage.nearer*"),
        ("zoom out", "-", "stage.farther*"),
        ("fit film to window", "Ctrl+0", "stage.fit"),
        ("loupe on the man chosen", "Ctrl+L", "stage.loupe.turn"),
        ("brighter", "Ctrl+Up", "stage.tone.brighter*"),
        ("darker", "Ctrl+Down", "stage.tone.darker*"),
        ("more contrast", "Ctrl+Shift+Up", "stage.tone.harder*"),
        ("less contrast", "Ctrl+Shift+Down", "stage.tone.softer*"),
        ("brightness and contrast as filmed", "Alt+0", "stage.tone.as_filmed"),
        ("the film alone", "Shift+F11", "page.alone.turn"),
    ),
    *_group(
        "Mark",
        ("snap here", "Z", "telling.mark_snap"),
        ("his first step here", "X", "telling.mark_step"),
        ("he goes here", "C", "telling.mark_go"),
        ("contact here", "V", "telling.mark_contact"),
        ("whistle here", "B", "telling.mark_whistle"),
        ("the play begins here", "[ Shift+Home", "edges.begin_here"),
        ("the play ends here", "] Shift+End", "edges.end_here"),
        ("the play begins ½ s earlier", "Ctrl+Home", "edges.begin_earlier"),
        ("the play ends ½ s later", "Ctrl+End", "edges.end_later"),
    ),
    *_group(
        "Draw",
        ("draw on film", "M", "hand.open_tools"),
        ("his path: hold, and follow him with the pointer", ";", "stage.hand.follow"),
        ("mark means: owed, did, neither", "K", "marks.turn_meaning"),
        ("colour of the mark", "Alt+K", "marks.changes.turn_colour"),
        ("mark follows him: set it here by hand, or not", "Alt+M", "marks.changes.turn_key"),
        ("mark starts here", "Alt+[", "marks.changes.from_here"),
        ("mark ends here", "Alt+]", "marks.changes.to_here"),
        ("choose the next mark", "Alt+J", "marks.changes.next_mark"),
        ("choose its next point", "Alt+Shift+J", "marks.changes.next_point"),
        ("mark, point or zoomed film to the left", "Alt+Left", "marks.pointing.left*"),
        ("mark, point or zoomed film to the right", "Alt+Right", "marks.pointing.right*"),
        ("mark, point or zoomed film up", "Alt+Up", "marks.pointing.up*"),
        ("mark, point or zoomed film down", "Alt+Down", "marks.pointing.down*"),
        ("mark, point or film far to the left", "Alt+Shift+Left", "marks.pointing.far_left*"),
        ("mark, point or film far to the right", "Alt+Shift+Right", "marks.pointing.far_right*"),
        ("mark, point or film far up", "Alt+Shift+Up", "marks.pointing.far_up*"),
        ("mark, point or film far down", "Alt+Shift+Down", "marks.pointing.far_down*"),
        ("words on the mark", "Alt+Return", "marks.ask_words"),
        ("copy the mark to the next play", "Alt+V", "marks.changes.copy_on"),
        ("take a copy of the mark", "Ctrl+C", "marks.changes.take_copy"),
        ("put the copy on this frame", "Ctrl+V", "marks.changes.put_copy"),
        ("take the drawing away", "Del Backspace", "marks.drop_chosen"),
    ),
)
