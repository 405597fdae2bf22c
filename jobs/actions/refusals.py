"""What an action says when it will not do something."""


class Refused(Exception):
    """Carries one clear sentence for the person, and the name of the field it is about ("" for the whole form)."""

    def __init__(self, sentence: str, field: str = "") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field
