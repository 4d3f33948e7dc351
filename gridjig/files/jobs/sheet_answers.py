"""What can come of taking a job out of a setup sheet."""

from typing import Literal, get_args

Answer = Literal["job", "no job", "several", "no pdf", "too large"]
ANSWERS: tuple[Answer, ...] = get_args(Answer)
