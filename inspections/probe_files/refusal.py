"""What is wrong with a file that an instrument wrote, as a sentence that names the place."""

LONGEST_QUOTE = 40


class Unreadable(ValueError):
    """A file, a line of it or a figure that cannot be read in one way only; the text is the sentence.

    `question`: what the person has to say so that it can be read: ``"decimal"`` or None. `problem`: what is
    wrong with a single figure, for a door that says it in the reader's language: ``"missing"``,
    ``"two_marks"``, ``"more_marks"``, ``"no_number"``, ``"unit"``, or ``""``.
    """

    def __init__(self, sentence: str, *, question: str | None = None, problem: str = "") -> None:
        super().__init__(sentence)
        self.question, self.problem = question, problem


def quoted(text: str) -> str:
    """What stands in a file, short enough for a sentence and with nothing that is not seen."""
    shown = "".join(character if character.isprintable() else " " for character in text).strip()
    return f"“{shown[:LONGEST_QUOTE]}{'…' if len(shown) > LONGEST_QUOTE else ''}”"
