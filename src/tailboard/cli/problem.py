"""What keeps a command from running: said in one sentence, exit code 2."""


class CannotRun(Exception):  # noqa: N818  it is no fault of the program
    """The command cannot run; the sentence says why and what to do."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence
