"""The way from the kernel to the page, in the server that stands between them: every message is sent at once.

A move is answered by several small messages. Left to itself the network holds the second back until the page has
acknowledged the first, which it puts off for up to 40 ms: a slider then sticks, now and again, for two frames.
"""

from __future__ import annotations

from typing import Any

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection

CHOSEN = "kernel_websocket_connection_class"


class AtOnce(ZMQChannelsWebsocketConnection):
    """A page's connection to its kernel that does not wait for acknowledgements (TCP_NODELAY, RFC 1122 4.2.3.4)."""

    def connect(self) -> Any:
        """Open the connection with nothing held back."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()


def _jupyter_server_extension_points() -> list[dict[str, str]]:
    return [{"module": "trailerlib.server"}]


def _load_jupyter_server_extension(app: Any) -> None:
    """Take the place of the usual connection; one that somebody chose on purpose stays."""
    if app.web_app.settings.get(CHOSEN) is ZMQChannelsWebsocketConnection:
        app.web_app.settings[CHOSEN] = AtOnce
