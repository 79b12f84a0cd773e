"""Lines that a test has to say at the end of a run: what it counted, for people to read."""

said: set[str] = set()


def say(line: str) -> None:
    """Have a line printed among the last of the run, whichever process ran the test."""
    said.add(line)
