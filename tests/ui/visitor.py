"""A visitor without a browser: speaks the page's protocol, so that many fit on one machine.

It does what the page in a browser does as far as the server can tell: sends a click with the
address it is at and the messages it still has, and takes what is drawn until the run is finished.
"""

from __future__ import annotations

import asyncio
import json
import time
from typing import TYPE_CHECKING, Any

from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from streamlit.proto.WidgetStates_pb2 import WidgetState
from websockets.asyncio.client import connect

if TYPE_CHECKING:
    from websockets.asyncio.client import ClientConnection

# Under this name a component's triggers come back; see `_make_trigger_id` of Streamlit.
TRIGGERS = "$$STREAMLIT_INTERNAL_KEY_{}__events"
# A run is given up after this time [s]: no click of a working server takes so long.
PATIENCE = 300.0


class Visitor:
    """One visitor.

    Parameters
    ----------
    address
        Of the server.
    query
        Of the address, as in ``job=…``.
    """

    def __init__(self, address: str, query: str = "") -> None:
        self._address = address.replace("http://", "ws://") + "/_stcore/stream"
        self.query = query
        self.drawn: list[Any] = []
        self._kept: dict[str, ForwardMsg] = {}
        self._held: dict[str, WidgetState] = {}
        self._again: tuple[float, str] | None = None
        self._socket: ClientConnection | None = None

    async def arrive(self) -> None:
        """Open the page and wait until the job on it is worked out."""
        self._socket = await connect(
            self._address, subprotocols=["streamlit"], max_size=None, open_timeout=PATIENCE
        )
        await self._run()
        await self.settle()

    async def leave(self) -> None:
        """Close the page."""
        if self._socket is not None:
            await self._socket.close()

    async def settle(self) -> None:
        """Draw anew as the page does by itself while work goes on, until it has ended."""
        while self._again is not None:
            pause, fragment = self._again
            await asyncio.sleep(pause)
            await self._run(fragment=fragment)

    # -- what is on the page --------------------------------------------------------------------

    def all(self, kind: str) -> list[Any]:
        """Give all elements of a kind, as `button`, in the order of drawing."""
        return [
            getattr(element, kind) for element in self.drawn if element.WhichOneof("type") == kind
        ]

    def element(self, kind: str, label: str) -> Any:
        """Give the element of a kind with a label."""
        return next(element for element in self.all(kind) if element.label == label)

    def texts(self) -> list[str]:
        """Give all text in Markdown."""
        return [element.body for element in self.all("markdown")]

    def component(self, name: str) -> tuple[str, Any]:
        """Give what identifies an own component, and the data it shows."""
        for element in self.all("bidi_component"):
            # A component of a package has that package's name before its own.
            if element.component_name.rpartition(".")[2] == name:
                return element.id, json.loads(getattr(element, element.WhichOneof("data")))
        message = f"{name} is not on the page"
        raise LookupError(message)

    # -- what a visitor does; each gives the time until the run was finished [s] ----------------

    async def choose(self, label: str, option: str) -> float:
        """Choose in a row of buttons of which one is on."""
        group = self.element("button_group", label)
        state = WidgetState(id=group.id)
        state.string_array_value.data.append(option)
        self._held[group.id] = state
        return await self._run()

    async def press(self, label: str) -> float:
        """Press a button."""
        return await self._run(WidgetState(id=self.element("button", label).id, trigger_value=True))

    async def type(self, identity: str, value: float) -> float:
        """Put a number into a field: of several with one label, the one with this identity."""
        return await self._run(WidgetState(id=identity, double_value=value))

    async def trigger(self, name: str, event: str, value: str) -> float:
        """Let a component say something."""
        identity, _ = self.component(name)
        sent = json.dumps([{"event": event, "value": value}])
        return await self._run(
            WidgetState(id=TRIGGERS.format(identity), json_trigger_value=sent),
        )

    async def _run(self, *acted: WidgetState, fragment: str = "") -> float:
        message = BackMsg()
        asked = message.rerun_script
        asked.query_string = self.query
        asked.fragment_id = fragment
        asked.is_auto_rerun = bool(fragment)
        asked.widget_states.widgets.extend([*self._held.values(), *acted])
        asked.cached_message_hashes.extend(self._kept)
        asked.context_info.timezone = "UTC"
        asked.context_info.url = self._address.replace("ws://", "http://").partition("/_")[0]
        assert self._socket is not None
        began = time.perf_counter()
        await self._socket.send(message.SerializeToString())
        async with asyncio.timeout(PATIENCE):
            while not self._take(ForwardMsg.FromString(await self._socket.recv(decode=False))):
                pass
        return time.perf_counter() - began

    def _take(self, message: ForwardMsg) -> bool:
        """Take a message; whether it ends the run."""
        kind = message.WhichOneof("type")
        if kind == "ref_hash":
            message = self._kept[message.ref_hash]
            kind = message.WhichOneof("type")
        elif message.metadata.cacheable:
            self._kept[message.hash] = message
        if kind == "new_session":
            if not message.metadata.run.fragment_ids:
                self.drawn, self._again = [], None
        elif kind == "delta" and message.delta.WhichOneof("type") == "new_element":
            self.drawn.append(message.delta.new_element)
        elif kind == "page_info_changed":
            self.query = message.page_info_changed.query_string
        elif kind == "auto_rerun":
            self._again = message.auto_rerun.interval, message.auto_rerun.fragment_id
        elif kind == "stop_auto_rerun":
            self._again = None
        elif kind == "script_finished":
            return message.script_finished != ForwardMsg.FINISHED_EARLY_FOR_RERUN
        return False
