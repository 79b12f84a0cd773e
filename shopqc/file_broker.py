"""The embedded broker, whose messages are files: each appears whole or not at all.

The transport it stands on opens a message's file under its last name and fills it afterwards. A worker that
looks in between takes an empty message for a broken one and ends. Here a file gets its name once it is full.
"""

from __future__ import annotations

import uuid
from pathlib import Path
from time import monotonic
from typing import Any

from kombu.exceptions import ChannelError
from kombu.transport import filesystem
from kombu.utils.encoding import str_to_bytes
from kombu.utils.json import dumps

# A name that no queue's messages have, so that nobody takes it.
BEING_WRITTEN = ".writing"


class Channel(filesystem.Channel):
    # Its two bases do not agree on what the second parameter is called.
    def _put(self, queue: str, payload: Any, **kwargs: Any) -> None:  # type: ignore[override]
        name = f"{round(monotonic() * 1000)}_{uuid.uuid4()}.{queue}.msg"
        whole = Path(self.data_folder_out) / name
        try:
            written = whole.with_name(name + BEING_WRITTEN)
            written.write_bytes(str_to_bytes(dumps(payload)))
            written.replace(whole)
        except OSError as error:
            raise ChannelError(f"Cannot add the file {whole} to its folder.") from error


class Transport(filesystem.Transport):
    Channel = Channel
