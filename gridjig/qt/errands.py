"""Work done beside the window, one errand at a time: it tells how far it is and can be stopped.

An errand that was overtaken by a newer one answers too late, and is dropped.
"""

import time
from collections.abc import Callable

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal, SignalInstance

from gridjig.files.drawing import Report, Stopped
from gridjig.files.faults import ReadFault

from .warmup import before_thread

Errand = Callable[[Report], object]
_BETWEEN_S = 0.05
_SAID = (ReadFault, ValueError)


class _Mail(QObject):
    """Carries words from the worker to the window's thread."""

    advanced = Signal(int, int, object)
    came = Signal(int, object)
    failed = Signal(int, str)


class _Run(QRunnable):
    def __init__(self, number: int, errand: Errand, mail: _Mail) -> None:
        super().__init__()
        self.stopped = False
        self._number = number
        self._errand = errand
        self._mail = mail
        self._told = time.monotonic()

    def _report(self, done: int, total: int | None) -> None:
        if self.stopped:
            raise Stopped
        now = time.monotonic()
        if now - self._told > _BETWEEN_S:
            self._told = now
            self._mail.advanced.emit(self._number, done, total)

    def run(self) -> None:
        """Do the errand; its answer or its refusal goes to the window's thread."""
        try:
            answer = self._errand(self._report)
        except Stopped:
            return
        except Exception as fault:
            self._tell(self._mail.failed, str(fault))
            if not isinstance(fault, _SAID):
                raise
            return
        self._tell(self._mail.came, answer)

    def _tell(self, signal: SignalInstance, words: object) -> None:
        if not self.stopped:
            signal.emit(self._number, words)


class Errands(QObject):
    """Runs errands.  `came` carries an answer, `failed` the sentence of a refusal.

    `advanced` tells how much is done of how much, None where that is not known.
    """

    advanced = Signal(int, object)
    came = Signal(object)
    failed = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._mail = _Mail()
        self._mail.advanced.connect(self._on_advanced)
        self._mail.came.connect(self._on_came)
        self._mail.failed.connect(self._on_failed)
        self._number = 0
        self._run: _Run | None = None

    @property
    def busy(self) -> bool:
        """True while an answer is waited for."""
        return self._run is not None

    def start(self, errand: Errand) -> None:
        """Do an errand in the place of the one under way.

        The pool is the program's own, which waits for what runs in it before the program ends.
        """
        self.stop()
        self._run = _Run(self._number, errand, self._mail)
        before_thread()
        QThreadPool.globalInstance().start(self._run)

    def stop(self) -> None:
        """Wait for no answer any more; what runs ends at its next report."""
        self._number += 1
        if self._run is not None:
            self._run.stopped = True
            self._run = None

    def _on_advanced(self, number: int, done: int, total: int | None) -> None:
        if number == self._number:
            self.advanced.emit(done, total)

    def _on_came(self, number: int, answer: object) -> None:
        if number == self._number:
            self._run = None
            self.came.emit(answer)

    def _on_failed(self, number: int, words: str) -> None:
        if number == self._number:
            self._run = None
            self.failed.emit(words)
