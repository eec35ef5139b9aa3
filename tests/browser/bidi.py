"""WebDriver BiDi (a W3C draft): commands to a browser, and what happens in it, as JSON over a web socket."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any

from websocket import WebSocket, create_connection

PATIENCE_S = 120


class RefusedCommandError(Exception):
    """The browser would not do what it was told."""


@dataclass(slots=True)
class Bidi:
    """A session with one browser: commands are answered in turn, and what happens meanwhile is kept as events."""

    socket: WebSocket
    events: list[dict[str, Any]] = field(default_factory=list)
    commands: int = 0

    def do(self, method: str, **params: object) -> dict[str, Any]:
        """Send a command and wait for its answer."""
        self.commands += 1
        self.socket.send(json.dumps({"id": self.commands, "method": method, "params": params}))
        answer = self._answer()
        if answer["type"] == "error":
            raise RefusedCommandError(f"{method}: {answer['error']}: {answer['message']}")
        return answer["result"]

    def happened(self, method: str, tab: str) -> list[dict[str, Any]]:
        """What an event told each time it happened in one tab, in order."""
        told = [event["params"] for event in self.events if event["method"] == method]
        return [params for params in told if tab in (params.get("context"), params.get("source", {}).get("context"))]

    def _answer(self) -> dict[str, Any]:
        while (message := json.loads(self.socket.recv())).get("id") != self.commands:
            self.events.append(message)
        return message


def connect(address: str, *events: str) -> Bidi:
    """Open a session at `ws://host:port` and listen to some events from the start."""
    bidi = Bidi(create_connection(f"{address}/session", timeout=PATIENCE_S, suppress_origin=True))
    bidi.do("session.new", capabilities={})
    bidi.do("session.subscribe", events=list(events))
    return bidi
