"""The errors a user can meet, and the one grammar their messages keep.

Every message says: which function, which argument, the value given with its unit,
what is allowed, and what to do.  A host maps the class to its own error value.
"""

from __future__ import annotations

from collections.abc import Iterable


class HayError(ValueError):
    """A refused input.  `excel` is the error value that a cell shows for it."""

    excel = "#VALUE!"

    def __init__(self, function: str, argument: str, given: str, allowed: str, fix: str) -> None:
        self.function = function
        self.argument = argument
        self.given = given
        self.allowed = allowed
        self.fix = fix
        super().__init__(f"{function}: {argument} is {given}; allowed: {allowed}; {fix}.")

    def __reduce__(self) -> tuple[object, ...]:
        # Exception's own pickling would call __init__ with the one joined message.
        return type(self), (self.function, self.argument, self.given, self.allowed, self.fix)


class BadInput(HayError):
    """The wrong kind of thing: blank, text for a number, a word not in the closed list."""

    excel = "#VALUE!"


class OutOfRange(HayError):
    """A number that cannot be, or a combination that has no answer."""

    excel = "#NUM!"


class NotInTable(HayError):
    """A name that the table does not hold."""

    excel = "#N/A"


class WrongCall(TypeError):
    """Too many arguments, too few, or one that the function does not have: as any Python function says it."""

    excel = "#VALUE!"


def listing(names: Iterable[str]) -> str:
    """Names in one line: commas between them, semicolons where a name itself holds a comma."""
    every = list(names)
    return ("; " if any("," in name for name in every) else ", ").join(every)


def harmless(text: str) -> str:
    """A text that cannot steer the terminal: names out of a file may hold any character."""
    return "".join(c if c.isprintable() or c == "\n" else " " for c in text)


# units that say how to read a number, not what to print behind it
UNSPOKEN = ("1", "any", "any weight", "per day", "as the column says", "yes/no")


def shown(value: object, unit: str = "") -> str:
    """The value as a sentence shows it: `140 % DM`, `blank`, `the text "abc"`."""
    if value is None or (isinstance(value, str) and not value.strip()):
        return "blank"
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, str):
        text = "".join(c if c.isprintable() else " " for c in value.strip())  # one line, whatever was in the cell
        return f'the text "{text if len(text) <= 40 else text[:37] + "..."}"'
    if isinstance(value, (bytes, bytearray, complex)):  # float() would read a number into them
        return f"a {type(value).__name__}"
    try:
        number = float(value)  # type: ignore[arg-type]  # float() itself decides
    except OverflowError:
        return "a number too large"
    except (TypeError, ValueError):
        return f"a {type(value).__name__}"
    return f"{number:.6g} {unit}".strip() if unit not in UNSPOKEN else f"{number:.6g}"
