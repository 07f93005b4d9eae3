from __future__ import annotations

import threading
from pathlib import Path

from gradecut.book import Book, open_book
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.men_drawn import did_words
from gradecut.records import Clip, FactValue, FilmFile, Grade, LineUp, Player, Rep
from gradecut.workflows.booking import book_info
from tests.desk.film_book import press
from tests.desk.small_book import Posted


def grades_of(desk: FilmDesk) -> dict[str, Grade]:
    """Return the standing grades of the play shown, by position."""
    assert desk.state is not None
    return {man.position: man.grade for man in desk.state.men if man.grade}


def ask_title(desk: FilmDesk) -> str:
    """Return the question in hand."""
    assert desk.hand.ask is not None
    return desk.hand.ask.title


def test_it_opens_at_the_first_play_that_waits(film: FilmDesk) -> None:
    """He sits down and the next thing to grade is before him, with its men and what they owe."""
    assert film.clip is not None
    assert film.state is not None
    assert film.clip.order == 1
    assert [(man.position, man.owes) for man in film.state.men] == [
        ("Bow", "squeeze D"),
        ("Keel", "fill A"),
        ("Port", "cutback B"),
    ]
    assert film.plays.line.told() == "0 of 3 graded"


def test_a_clean_clip_costs_one_key(film: FilmDesk) -> None:
    """Enter: all fits right, next play; and what was let through is told from what was examined."""
    first = film.clip
    assert first is not None
    assert press(film, "Return") == 1
    assert film.clip is not None
    assert film.clip.order == 2
    reps = film.book.find(Rep, clip_id=first.id)
    grades = film.book.find(Grade, rep_id=[rep.id for rep in reps])
    assert [(one.fit_result, one.how) for one in grades] == [("right", "passed")] * 3
    assert film.plays.line.boxes[0].status == "done"
    assert film.plays.line.told() == "1 of 3 graded"


def test_a_dirty_clip_costs_at_most_eight(film: FilmDesk) -> None:
    """Two men wrong with miss and cause, one flagged, the rest right, next: eight keys."""
    first = film.clip
    assert first is not None
    spent = press(film, "2", "1", "2", "F", "3", "2", "4", "Return")
    assert spent <= 8
    assert film.clip is not None
    assert film.clip.order == 2
    film.open_clip(first.id)
    grades = grades_of(film)
    keel, port = grades["Keel"], grades["Port"]
    assert (keel.did, keel.did_name, keel.cause) == ("miss", "ran past it", "eyes")
    assert (keel.fit_result, keel.how) == ("wrong", "examined")
    assert (port.did_name, port.cause) == ("left for the ball too early", "technique")
    assert (grades["Bow"].fit_result, grades["Bow"].how) == ("right", "passed")
    box = film.plays.line.boxes[0]
    assert (box.status, box.wrong, box.flagged) == ("wrong", True, True)
    assert film.plays.line.told() == "1 of 3 graded · 1 flagged"


def test_number_keys_answer_one_question_at_a_time(film: FilmDesk) -> None:
    """First the man, then how he missed, then why; Esc goes back one step each time."""
    assert ask_title(film) == "Who was not right?"
    press(film, "2")
    assert ask_title(film) == "How did Keel miss fill A?"
    press(film, "1")
    assert ask_title(film) == "Why did Keel miss it?"
    assert film.hand.back()
    assert ask_title(film) == "How did Keel miss fill A?"
    assert film.hand.back()
    assert ask_title(film) == "Who was not right?"
    assert not film.hand.back()
    assert not film.hand.answer("9")


def test_a_half_right_miss_is_told_as_half(film: FilmDesk) -> None:
    """The scheme says what a miss is worth; the row shows it by a sign, not by colour alone."""
    press(film, "2", "2")
    man = film.hand.man
    assert man is not None
    assert grades_of(film)["Keel"].fit_result == "half"
    assert did_words(man) == ("½", "caught it at depth")


def test_right_takes_a_miss_back(film: FilmDesk) -> None:
    """One key says he was right after all; the cause goes with the miss."""
    press(film, "2", "1", "2", "R")
    keel = grades_of(film)["Keel"]
    assert (keel.fit_result, keel.cause) == ("right", "")
    assert len(film.book.find(Grade, rep_id=keel.rep_id)) == 3


def test_a_man_who_cannot_be_graded_costs_three_keys(film: FilmDesk) -> None:
    """Man, U, reason; the reason stands in his row."""
    assert press(film, "3", "U", "1") == 3
    man = film.hand.man
    assert man is not None
    assert man.grade is not None
    assert man.grade.cannot == {"fit": "out of picture"}
    assert did_words(man) == ("?", "out of picture")


def test_another_fit_is_wrong_and_asks_why(film: FilmDesk) -> None:
    """O lists the fits his rules know, the owed one among them; what he played is kept."""
    press(film, "2", "O")
    ask = film.hand.ask
    assert ask is not None
    assert [one.answer.words for one in ask.shown()[:2]] == ["fill A", "hang A"]
    assert [one.answer.hint for one in ask.shown()[:2]] == ["owed", ""]
    assert ask.pages > 1
    press(film, "2")
    assert ask_title(film) == "Why did Keel miss it?"
    press(film, "2")
    keel = grades_of(film)["Keel"]
    assert (keel.did, keel.did_name, keel.fit_result, keel.cause) == (
        "fit", "hang A", "wrong", "eyes",
    )  # fmt: skip


def test_zero_turns_the_page_of_a_long_list(film: FilmDesk) -> None:
    """More than nine answers: 0 shows the next nine, and comes round."""
    press(film, "2", "O")
    first = film.hand.ask
    assert first is not None
    press(film, "0")
    second = film.hand.ask
    assert second is not None
    assert second.page == 1
    assert second.shown()[0].answer.words not in [one.answer.words for one in first.shown()]
    press(film, *["0"] * (first.pages - 1))
    again = film.hand.ask
    assert again is not None
    assert again.page == 0


def test_touching_his_own_gap_is_right_and_another_is_wrong(film: FilmDesk) -> None:
    """Man, then gap: where a gap has several jobs they are asked, his own first."""
    press(film, "2")
    film.hand.touch_gap("A", "right")
    ask = film.hand.ask
    assert ask is not None
    assert ask.kind == "gap"
    assert ask.shown()[0].answer.words == "fill A"
    press(film, "1")
    assert grades_of(film)["Keel"].fit_result == "right"
    press(film, "2")
    film.hand.touch_gap("E", "left")
    keel = grades_of(film)["Keel"]
    assert (keel.did_name, keel.did_side, keel.fit_result) == ("force E", "left", "wrong")


def test_touching_a_gap_without_a_man_says_what_to_do(film: FilmDesk, said: list[str]) -> None:
    """Nothing is recorded of nobody."""
    film.hand.touch_gap("A", "right")
    assert "Choose the man first" in said[-1]
    assert not film.book.count(Grade)


def test_the_coachs_word_stands_above_the_scheme(film: FilmDesk) -> None:
    """W: he says what the man owed; grades go by it, and it can be taken back."""
    press(film, "2", "W")
    ask = film.hand.ask
    assert ask is not None
    place = [one.answer.words for one in ask.shown()].index("hang A") + 1
    press(film, str(place), "R")
    keel = grades_of(film)["Keel"]
    assert (keel.expected_fit, keel.owed_by) == ("hang A", "coach")
    press(film, "W", "1")
    man = film.hand.man
    assert man is not None
    assert man.owes == "fill A"
    assert man.stale


def test_a_changed_fact_marks_grades_for_another_look(film: FilmDesk) -> None:
    """L, the fact, its value: three keys; grades given for another look are told as such."""
    first = film.clip
    assert first is not None
    press(film, "Return")
    film.open_clip(first.id)
    press(film, "L")
    ask = film.hand.ask
    assert ask is not None
    place = [one.answer.words for one in ask.shown()].index("run") + 1
    assert press(film, str(place)) == 1
    assert film.state is not None
    assert film.state.look["run"] == "left"
    assert film.state.sources["run"] == "marked"
    assert any(man.stale for man in film.state.men)
    assert film.plays.line.boxes[0].status == "unsure"
    script = film.book.find(FactValue, clip_id=first.id, reference="run", source="script")
    assert [one.value for one in script] == ["right"]


def test_an_answer_can_be_taken_back_for_the_scripts(film: FilmDesk) -> None:
    """What a person marked goes; what the script said counts again."""
    film.telling.tell("back", "behind")
    press(film, "L", "4")
    ask = film.hand.ask
    assert ask is not None
    key = next(one.key for one in ask.shown() if one.answer.words == "take my answer back")
    press(film, key)
    assert film.state is not None
    assert film.state.look["back"] == "left"


def without_facts(book: Book) -> None:
    """Take all facts away."""
    with book.act("forget the looks") as act:
        act.drop_all(book.find(FactValue))


def test_questions_come_in_the_order_the_play_shows_them(
    film: FilmDesk, film_book: Book, said: list[str]
) -> None:
    """Facts known before the snap are asked first, one at a time, and only while they matter."""
    without_facts(film_book)
    assert film.state is not None
    asked: list[str] = []
    while film.state.question is not None:
        asked.append(film.state.question.reference)
        known = [film.state.scheme.fact_of(one).known for one in asked if film.state.scheme]
        assert known == sorted(known, reverse=True)
        ask = film.hand.ask
        assert ask is not None
        assert ask.kind == "question"
        press(film, ask.shown()[0].key)
        assert film.state is not None
    assert "concept" in asked
    assert len(asked) == len(set(asked))
    assert all(man.owes for man in film.state.men)
    press(film, "Return")
    assert said == []


def test_enter_stays_on_a_clip_with_an_open_question(
    film: FilmDesk, film_book: Book, said: list[str]
) -> None:
    """A fit nobody can name is not passed: the sentence says which fact is missing."""
    with film_book.act("forget") as act:
        act.drop_all(film_book.find(FactValue, reference="concept"))
    press(film, "Return")
    assert film.clip is not None
    assert film.clip.order == 1
    assert "stays open" in said[-1]
    assert "What did they run?" in said[-1]
    assert ask_title(film) == "What did they run?"


def test_counts_are_answered_by_their_own_digit(film: FilmDesk, film_book: Book) -> None:
    """Three blockers is key 3, not the third answer."""
    with film_book.act("forget") as act:
        act.drop_all(film_book.find(FactValue, reference="surface.right"))
    film.telling.tell("concept", "outside zone")
    ask = film.hand.ask
    assert ask is not None
    assert ask.title.startswith("Right: how many")
    assert [(one.key, one.answer.words) for one in ask.shown()] == [
        ("2", "2"), ("3", "3"), ("4", "4"),
    ]  # fmt: skip
    press(film, "3")
    assert film.state is not None
    assert film.state.look["surface.right"] == 3


def test_a_question_can_be_put_aside(film: FilmDesk, film_book: Book) -> None:
    """Q puts it aside to grade another man, and brings it back."""
    without_facts(film_book)
    press(film, "Q")
    assert film.hand.ask is not None
    assert film.hand.ask.kind == "men"
    assert "Q brings the question back" in film.hand.ask.then
    press(film, "Q")
    assert film.hand.ask is not None
    assert film.hand.ask.kind == "question"


def test_technique_and_effort_are_asked_item_by_item(film: FilmDesk) -> None:
    """T, then one digit each: the key is the mark; effort comes last."""
    press(film, "2", "R", "T", "0", "1", "2", "2", "1")
    keel = grades_of(film)["Keel"]
    assert dict(keel.technique) == {"eyes": 0, "footwork": 1, "hands": 2, "tackle": 2}
    assert keel.effort == 1
    assert keel.fit_result == "right"
    assert ask_title(film) == "Who was not right?"


def test_a_note_is_kept_as_typed(film: FilmDesk, said: list[str]) -> None:
    """His words, spaces and signs and all; on an open rep he is told what that records."""
    press(film, "2")
    film.judging.note("  eyes on the back!  = 2 steps late")
    assert grades_of(film)["Keel"].note == "  eyes on the back!  = 2 steps late"
    assert "recorded as right" in said[-1]


def test_events_are_counted_and_taken_back(film: FilmDesk) -> None:
    """Counted beside the grade; a second one counts twice."""
    press(film, "2", "E", "1", "E", "1")
    man = film.hand.man
    assert man is not None
    assert man.line is not None
    assert man.line.events == ("missed tackle", "missed tackle")
    film.judging.uncount("missed tackle")
    man = film.hand.man
    assert man is not None
    assert man.line is not None
    assert man.line.events == ("missed tackle",)


def test_what_needs_a_man_says_so(film: FilmDesk, said: list[str]) -> None:
    """Keys of a man without a man in hand change nothing and tell what to do."""
    for key in ("R", "O", "U", "T", "E", "W", "I"):
        press(film, key)
        assert "Choose a man first" in said[-1], key
    press(film, "X")
    assert "belongs to a man" in said[-1]
    assert not film.book.count(Grade)


def test_a_cause_without_a_miss_is_refused(film: FilmDesk, said: list[str]) -> None:
    """Why he missed is asked after how."""
    press(film, "2", "R")
    assert not film.judging.cause("eyes")
    assert "Say first how he missed it" in said[-1]


def test_undo_takes_back_what_was_done_last(film: FilmDesk) -> None:
    """Each entry is an act of its own; the page shows what is left."""
    press(film, "2", "1", "2")
    assert film.book.undo().verb
    assert grades_of(film)["Keel"].cause == ""
    film.book.undo()
    assert grades_of(film) == {}
    assert film.plays.line.boxes[0].status == "open"
    film.book.redo()
    assert grades_of(film)["Keel"].did_name == "ran past it"


def test_reopening_goes_on_where_it_was(
    film: FilmDesk, film_book: Book, posted: Posted, said: list[str]
) -> None:
    """Closed and opened again: the next open play stands there, and undo still works."""
    path = film_book.path
    press(film, "Return")
    film.close()
    film_book.close()
    with open_book(path, author="Coach Alder") as again:
        desk = FilmDesk(again, posted, said.append)
        assert desk.clip is not None
        assert desk.clip.order == 2
        assert desk.plays.line.told() == "1 of 3 graded"
        again.undo()
        assert desk.plays.line.told() == "0 of 3 graded"
        desk.close()


def test_a_player_is_put_in_from_here_on(film: FilmDesk) -> None:
    """I, once more to choose: the new man has the position on this play and all that follow."""
    press(film, "PgDown", "2", "I", "I")
    ask = film.hand.ask
    assert ask is not None
    assert ask.title == "Who is at Keel from here on in Inside run 1?"
    key, name = next(
        (one.key, one.answer.words) for one in ask.shown() if "Stroud" in one.answer.words
    )
    press(film, key)
    players = {one.id: one.name for one in film.book.find(Player)}
    clips = film.book.find(Clip)
    who = [
        [players[one.player_id] for one in film.book.find(LineUp, clip_id=clip.id, position="Keel")]
        for clip in clips
    ]
    assert who[0] != [name]
    assert who[1:] == [[name], [name]]
    assert film.hand.man is not None
    assert film.hand.man.number == "40"


def test_no_play_needs_no_grade(film: FilmDesk) -> None:
    """D strikes the play and goes on; Enter goes past it; D again brings it back."""
    press(film, "D")
    assert film.clip is not None
    assert film.clip.order == 2
    assert film.plays.line.boxes[0].status == "no play"
    assert film.plays.line.told() == "0 of 2 graded"
    press(film, "PgUp", "Return", "PgUp")
    assert not film.book.count(Grade)
    press(film, "D")
    assert film.clip.order == 1
    assert film.plays.line.boxes[0].status == "open"


def test_next_that_waits_skips_what_is_done(film: FilmDesk, said: list[str]) -> None:
    """J goes to the next play somebody waits on, and says when there is none."""
    press(film, "Return", "Return", "PgUp", "PgUp", "J")
    assert film.clip is not None
    assert film.clip.order == 3
    press(film, "Return", "J")
    assert "No other play" in said[-1]


def test_the_last_play_says_how_far_he_is(film: FilmDesk, said: list[str]) -> None:
    """Enter on the last play stays there and counts."""
    press(film, "Return", "Return", "Return")
    assert said[-1].startswith("That was the last play: 3 of 3 graded. All are graded: F9 makes")
    ask = film.hand.ask
    assert ask is not None
    assert ask.title == "All 3 plays are graded."
    assert [one.key for one in ask.also] == ["F9", "F7"]
    press(film, "2")
    assert film.hand.position == "Keel"


def test_before_the_last_play_enter_still_leads_on(film: FilmDesk) -> None:
    """All graded, an earlier play asks as ever and Enter goes to the next."""
    press(film, "Return", "Return", "Return", "PgUp")
    ask = film.hand.ask
    assert ask is not None
    assert ask.title == "Who was not right?"
    assert [one.key for one in ask.also] == ["Enter"]


def test_a_rep_is_opened_with_its_man_in_hand(film: FilmDesk) -> None:
    """From the board: the play, and the man the cell is about."""
    clip = film.book.find(Clip)[2]
    rep = film.book.find(Rep, clip_id=clip.id, position="Port")[0]
    film.open_rep(clip.id, rep.id)
    assert film.clip is not None
    assert (film.clip.id, film.hand.position) == (clip.id, "Port")


def test_what_another_thread_changes_is_shown(film: FilmDesk, posted: Posted) -> None:
    """Film added or grades recorded by a job arrive through the window's own thread."""
    clip = film.clip
    assert clip is not None

    def tell() -> None:
        with film.book.act("say what was gained") as act:
            act.put(FactValue(clip_id=clip.id, reference="wing", value="right", author="Somebody"))

    worker = threading.Thread(target=tell)
    worker.start()
    worker.join()
    posted.until(lambda: film.state is not None and film.state.look.get("wing") == "right")


def test_a_book_without_film_has_nothing_to_show(
    tmp_path: Path, posted: Posted, said: list[str]
) -> None:
    """An empty book is no fault."""
    from gradecut.workflows.booking import new_book

    with new_book(tmp_path / "empty.gradecut", name="Empty", author="Coach Alder") as book:
        desk = FilmDesk(book, posted, said.append)
        assert desk.state is None
        assert desk.picture() is None
        assert desk.ticks() is None
        press(desk, "Return", "Right", "Space", "Z", "PgDown")
        assert "Add film first" in said[0]
        desk.close()


def test_without_a_scheme_men_are_graded_by_the_coachs_word(
    film: FilmDesk, film_book: Book
) -> None:
    """No rules yet: nobody is passed by a rule nobody wrote."""
    from dataclasses import replace

    with film_book.act("take the scheme away") as act:
        act.put(replace(book_info(film_book), scheme_id=None))
    assert film.state is not None
    assert film.state.scheme is None
    assert [man.owes for man in film.state.men] == ["", "", ""]
    assert film.judging.owed is not None
    film.hand.choose("Keel")
    assert film.judging.owed("plug the middle")
    press(film, "R")
    assert grades_of(film)["Keel"].expected_fit == "plug the middle"


def _choose(film: FilmDesk, words: str) -> None:
    """Give the answer of these words."""
    assert film.hand.ask is not None
    key = next(one.key for one in film.hand.ask.shown() if one.answer.words == words)
    press(film, key)


def test_pairing_is_moved_from_the_play_shown(film: FilmDesk, said: list[str]) -> None:
    """The side camera missed play 1: its films move one play on, and where they lie is said."""
    press(film, "P")
    assert film.hand.ask is not None
    told = {one.answer.words: one.answer.hint for one in film.hand.ask.shown()}
    assert told == {"end": "plays 1 to 3", "side": "plays 1 and 2"}
    _choose(film, "side")
    _choose(film, "one later")
    assert said[-1] == "The side films now lie on plays 2 and 3."
    assert film.state is not None
    assert [one.name for one in film.state.timeline.angles] == ["end"]
    film.next_clip()
    assert [one.name for one in film.state.timeline.angles] == ["end", "side"]


def test_an_angle_this_play_has_lost_can_still_be_moved(film: FilmDesk) -> None:
    """After one move too many the films are offered on the same play, and come back."""
    press(film, "P")
    _choose(film, "side")
    _choose(film, "later by how many")
    press(film, "4")
    press(film, "P")
    _choose(film, "side")
    assert film.hand.ask is not None
    assert "here: none" in film.hand.ask.title
    _choose(film, "earlier by how many")
    press(film, "4")
    assert film.state is not None
    assert [one.name for one in film.state.timeline.angles] == ["end", "side"]


def test_film_that_was_moved_is_told_and_found_again(
    film: FilmDesk, film_book: Book, posted: Posted, numbered_films: Path, tmp_path: Path
) -> None:
    """Where the film is away the stage says so; shown its folder, it comes back."""
    from dataclasses import replace

    from gradecut.workflows.films import find_moved_films

    with film_book.act("lose the film") as act:
        act.put(
            *[replace(one, path=str(tmp_path / "gone.mp4")) for one in film_book.find(FilmFile)]
        )
    assert not film.playhead.found
    assert "is not where it was" in film.playhead.fault
    assert find_moved_films(film_book, numbered_films / "end") == 3
    film.refresh()
    posted.until(lambda: film.playhead.picture is not None)
    assert film.playhead.fault == ""


def test_what_another_version_asked_does_not_stand_in_the_way(film: FilmDesk) -> None:
    """A fact the scheme does not know stays stored, and every man owes what he owed."""
    assert film.clip is not None
    assert film.state is not None
    owed = [(man.position, man.owes) for man in film.state.men]
    with film.book.act("as an earlier scheme asked") as act:
        act.put(FactValue(clip_id=film.clip.id, reference="weather", value="rain"))
    film.refresh()
    assert film.state.look["weather"] == "rain"
    assert [(man.position, man.owes) for man in film.state.men] == owed
    assert len(film.state.front) > len(owed)


def test_a_play_is_taken_out_and_the_next_is_shown(film: FilmDesk, film_book: Book) -> None:
    """One key; with a grade on it, it is refused and stays on the stage."""
    press(film, "Alt+D")
    assert film.clip is not None
    assert film.clip.order == 2
    assert [clip.order for clip in film_book.find(Clip)] == [2, 3]
    press(film, "Return", "PgUp", "Alt+D")
    assert film.clip.order == 2
    assert [clip.order for clip in film_book.find(Clip)] == [2, 3]
    film_book.undo()
    film_book.undo()
    assert [clip.order for clip in film_book.find(Clip)] == [1, 2, 3]
