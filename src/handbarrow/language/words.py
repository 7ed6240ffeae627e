"""Words by name, each in the language that is being spoken."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from handbarrow.language.tongue import lookup

__all__ = ["Words"]


class Words(Mapping[str, str]):
    """Words by name. A translator sees `about.name` as the context of each, so that one English word may become two.

    >>> Words("saw", {"cut": "Cut here"})["cut"]
    'Cut here'
    """

    def __init__(self, about: str, english: Mapping[str, str]) -> None:
        self.about = about
        self.english = dict(english)

    def __getitem__(self, name: str) -> str:
        return lookup(self.english[name], f"{self.about}.{name}")

    def __iter__(self) -> Iterator[str]:
        return iter(self.english)

    def __len__(self) -> int:
        return len(self.english)

    def messages(self) -> Iterator[tuple[str, str]]:
        """Context and English of each."""
        return ((f"{self.about}.{name}", text) for name, text in self.english.items() if text)
