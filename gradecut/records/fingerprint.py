"""What tells one film from every other, whatever its name."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Fingerprint"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fingerprint:
    """A digest of a film's bytes and the way it was made.

    Attributes
    ----------
    algorithm : str
        Names the way, so that a better one can stand beside it later.
    digest : str
        In hexadecimal.
    """

    algorithm: str
    digest: str

    def __str__(self) -> str:
        """Write it as ``algorithm:digest``."""
        return f"{self.algorithm}:{self.digest}"

    @classmethod
    def parse(cls, text: str) -> Fingerprint:
        """Read back what ``str`` wrote.

        Raises
        ------
        ValueError
            When the text has no colon.
        """
        algorithm, colon, digest = text.partition(":")
        if not colon:
            raise ValueError(f"“{text}” is no fingerprint.")
        return cls(algorithm=algorithm, digest=digest)
