"""The error for text that is no usable quantity: one problem, with its code, what is wrong, and the mend."""

from __future__ import annotations

from blockwright.problems import BlockwrightError, Problem, excerpt

__all__ = ["QuantityError", "excerpt", "with_article"]


class QuantityError(BlockwrightError):
    """A text that cannot be taken as a quantity, or a unit that the kind does not have."""

    def __init__(self, code: str, what: str, mend: str) -> None:
        super().__init__(Problem(f"quantity-{code}", what, mend))

    @property
    def code(self) -> str:
        """Stable short code, such as `quantity-no-unit`."""
        return self.problems[0].code

    @property
    def what(self) -> str:
        """What is wrong, in plain words."""
        return self.problems[0].what

    @property
    def mend(self) -> str:
        """What would mend it."""
        return self.problems[0].mend


def with_article(name: str) -> str:
    """The name with its article, if it has none: "a bore", "an end gap"."""
    if name.startswith(("a ", "an ", "the ")):
        return name
    return f"{'an' if name[:1] in tuple('aeiouAEIOU') else 'a'} {name}"
