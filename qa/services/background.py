"""Working in the background: threads that look into the outbox when woken, and every minute."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from huey import crontab
from huey.consumer import Consumer

from qa.services.delivery import tidy, work_all
from qa.services.installation import Installation
from qa.services.reminding import remind
from qa.services.waking import hear, open_queue

Clock = Callable[[], datetime]
"""The present moment, aware."""

_POLL_S = 0.1
_LONGEST_POLL_S = 1.0


class Background:
    """A worker in threads of this process, until it is stopped."""

    def __init__(
        self, installation: Installation, clock: Clock, *, keeps_time: bool = True
    ) -> None:
        """Prepares it.

        Args:
            installation: whose outbox.
            clock: asked at every task.
            keeps_time: whether it also looks every minute; of several workers of an installation
                one should, and none is harmed where two do.
        """
        self._queue = open_queue(installation)
        hear(self._queue, lambda: _look(installation, clock))
        if keeps_time:
            self._queue.periodic_task(crontab(minute="*"), name="look")(
                lambda: _look(installation, clock)
            )
            self._queue.periodic_task(crontab(minute="17"), name="tidy")(
                lambda: tidy(installation, now=clock())
            )
            self._queue.periodic_task(crontab(minute="7", hour="5-19"), name="remind")(
                lambda: remind(installation, now=clock())
            )
        self._consumer = _QuietConsumer(
            self._queue,
            workers=1,
            periodic=keeps_time,
            initial_delay=_POLL_S,
            max_delay=_LONGEST_POLL_S,
            worker_type="thread",
        )

    def start(self) -> None:
        """Starts its threads; they do not keep the process from ending."""
        self._consumer.start()

    def stop(self) -> None:
        """Ends it after the task in hand."""
        self._consumer.stop(graceful=True)
        self._queue.storage.close()


def _look(installation: Installation, clock: Clock) -> None:
    work_all(installation, now=clock())


class _QuietConsumer(Consumer):  # type: ignore[misc]
    """One that leaves the process's signals to the process."""

    def _set_signal_handlers(self) -> None:
        """Sets none."""
