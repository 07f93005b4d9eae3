"""The one place where a refusal becomes a sentence on the window's line."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, Protocol, TypeVar

from gradecut.errors import Cancelled, GradecutError

__all__ = ["Refusal", "Says", "says"]

P = ParamSpec("P")
R = TypeVar("R")


class Refusal(str):
    """A sentence that says why something was not done, or what is wrong."""

    __slots__ = ()


class Says(Protocol):
    """Whoever can say a sentence."""

    def say(self, sentence: str) -> None:
        """Show a sentence to the coach."""


S = TypeVar("S", bound=Says)


def says(method: Callable[Concatenate[S, P], R]) -> Callable[Concatenate[S, P], R | None]:
    """Let a method of a desk say what was refused instead of raising it; it returns None then."""

    @wraps(method)
    def saying(self: S, /, *args: P.args, **kwargs: P.kwargs) -> R | None:
        try:
            return method(self, *args, **kwargs)
        except Cancelled:
            self.say("Stopped; nothing was written.")
        except GradecutError as error:
            self.say(Refusal(error))
        return None

    return saying
