"""Every message to the page is sent at once, by a server extension that is on where the package is installed."""

from __future__ import annotations

import json
from types import SimpleNamespace
from typing import Any

import pytest
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection as Usual

from trailerlib import reference, server


def app(chosen: type) -> Any:
    return SimpleNamespace(web_app=SimpleNamespace(settings={server.CHOSEN: chosen}))


def test_the_extension_is_named_where_the_server_looks_for_it() -> None:
    found = json.loads((reference.data_root() / "jupyter_server" / "trailerlib.json").read_text())
    (point,) = server._jupyter_server_extension_points()
    assert found["ServerApp"]["jpserver_extensions"] == {point["module"]: True}


def test_it_takes_the_place_of_the_usual_connection_and_of_no_other() -> None:
    class Chosen(Usual):
        pass

    usual, other = app(Usual), app(Chosen)
    for one in (usual, other):
        server._load_jupyter_server_extension(one)
    assert usual.web_app.settings[server.CHOSEN] is server.AtOnce
    assert other.web_app.settings[server.CHOSEN] is Chosen


def test_nothing_is_held_back_before_the_first_message(monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[Any] = []
    monkeypatch.setattr(Usual, "connect", lambda self: done.append("connected"))
    there = SimpleNamespace(set_nodelay=done.append)
    connection = server.AtOnce.__new__(server.AtOnce)
    monkeypatch.setattr(server.AtOnce, "websocket_handler", there)
    connection.connect()
    assert done == [True, "connected"]
