"""The errors kitchend raises on purpose, each built from fields and each ending as one line for a person.

What a person wrote and what the machine lacks are different families, so that a caller can tell "mend your
file" from "plug the loudspeaker in". Anything else that is raised is a bug. No error carries a traceback or a
second line in its text.
"""


class KitchendError(Exception):
    """Everything kitchend raises on purpose; `str(error)` is the one line a person is shown."""


class DeviceError(KitchendError):
    """Hardware, or a program that stands for it, is missing or has stopped working.

    `device` names it ("loudspeaker"), `problem` says what is wrong, `hint` how to mend it.
    """

    def __init__(self, device: str, problem: str, hint: str) -> None:
        self.device = device
        self.problem = problem
        self.hint = hint
        super().__init__(f"{device}: {problem}; {hint}")
