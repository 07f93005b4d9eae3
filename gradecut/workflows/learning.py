"""Learning rules from what the coach said on the film he graded."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from gradecut.book import Book
from gradecut.progress import CancelToken, Progress
from gradecut.records import FactValue, LineUp, Owed, Rep
from gradecut.scheme import Scheme, parse_scheme
from gradecut.scheme.learning import Learned, Proposal, Said, learn
from gradecut.workflows.expecting import owed_by_word
from gradecut.workflows.looks import merge_facts

__all__ = ["accept", "learn_from_book", "said_in"]


def said_in(book: Book) -> tuple[Said, ...]:
    """Return what the coach said men owed, in the order of plays and reps.

    Returns
    -------
    tuple of Said
        One for each rep he spoke of, with the look as it adds up; ``side`` is the man's own
        side where it was told. The reader's own word counts before others'.
    """
    owed: dict[str, list[Owed]] = defaultdict(list)
    for word in book.find(Owed):
        owed[word.rep_id].append(word)
    facts: dict[str, list[FactValue]] = defaultdict(list)
    for fact in book.find(FactValue):
        facts[fact.clip_id].append(fact)
    lined_up = {
        (row.clip_id, row.position): row.side for row in book.find(LineUp) if row.side is not None
    }
    found = []
    for rep in book.find(Rep):
        said = owed_by_word(owed.get(rep.id, ()), book.author)
        if said is None:
            continue
        found.append(
            Said(
                position=rep.position,
                look=merge_facts(facts.get(rep.clip_id, ()), book.author),
                side=rep.side or lined_up.get((rep.clip_id, rep.position)),
                fit=said.fit,
                clip=rep.clip_id,
            )
        )
    return tuple(found)


def learn_from_book(
    book: Book,
    scheme: Scheme,
    *,
    more: Sequence[Said] = (),
    progress: Progress | None = None,
    cancel: CancelToken | None = None,
) -> Learned:
    """Propose rules that give what the coach said on this book's film; see ``learn``.

    Looks of plays on which he has not spoken yet are asked about before others.

    Parameters
    ----------
    more : sequence of Said
        What he said of looks that were asked without film.

    Raises
    ------
    Cancelled
        When it was asked to stop.
    """
    said = (*said_in(book), *more)
    spoken = {one.clip for one in said}
    facts: dict[str, list[FactValue]] = defaultdict(list)
    for fact in book.find(FactValue):
        if fact.clip_id not in spoken:
            facts[fact.clip_id].append(fact)
    met = [merge_facts(told, book.author) for told in facts.values()]
    return learn(scheme, said, met=met, progress=progress, cancel=cancel)


def accept(text: str, proposal: Proposal) -> str:
    """Return a scheme file's text with a proposed rule in it; comments and order are kept.

    A tier that is not there yet is added above the others.

    Raises
    ------
    SchemeError
        When the text is no scheme file, or the rule would bring a fault into it.
    """
    from gradecut.scheme.editing import add_tier, set_fit

    if proposal.tier not in parse_scheme(text, "the scheme").tiers:
        text = add_tier(text, tier=proposal.tier)
    for man in proposal.men:
        text = set_fit(
            text, man=man, tier=proposal.tier, when=dict(proposal.when), fit=proposal.fit
        )
    return text
