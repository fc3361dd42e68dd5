"""Nothing goes to other hosts: counted at a proxy that everything to the outside would pass."""

from __future__ import annotations

import contextlib
import os
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.request

import pytest

KNOCK = (
    "GET /_stcore/stream HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://elsewhere.example\r\n"
    "Upgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Version: 13\r\n"
    "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n"
)


def free_port():
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


@contextlib.contextmanager
def proxy():
    """Listen where the outside would be reached; give the list of what came."""
    came = []
    with socket.create_server(("127.0.0.1", 0)) as listening:

        def listen():
            with contextlib.suppress(OSError):
                while True:
                    caller, _ = listening.accept()
                    with caller:
                        caller.settimeout(2)
                        with contextlib.suppress(OSError):
                            came.append(caller.recv(200))

        threading.Thread(target=listen, daemon=True).start()
        yield came, f"http://127.0.0.1:{listening.getsockname()[1]}"


@contextlib.contextmanager
def running(command, outside, folder):
    """Run a server whose ways to the outside all lead to the proxy; give its port."""
    port = free_port()
    ways = dict.fromkeys(("http_proxy", "https_proxy", "HTTP_PROXY", "HTTPS_PROXY"), outside)
    with (folder / "log").open("w") as log:
        process = subprocess.Popen(
            [part.format(port=port) for part in command],
            env={**os.environ, **ways, "no_proxy": "127.0.0.1,localhost"},
            stdout=log, stderr=subprocess.STDOUT, cwd=folder, start_new_session=True,
        )  # fmt: skip
        try:
            opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
            end = time.monotonic() + 120
            while time.monotonic() < end:
                with contextlib.suppress(OSError):
                    opener.open(f"http://127.0.0.1:{port}/_stcore/health", timeout=2)
                    break
                time.sleep(0.2)
            else:
                pytest.fail((folder / "log").read_text())
            yield port
        finally:
            os.killpg(process.pid, signal.SIGTERM)
            process.wait(20)


def knock(port):
    """Ask for the page's connection as a page of another host would; return the answer."""
    with socket.create_connection(("127.0.0.1", port), timeout=20) as caller:
        caller.sendall(KNOCK.format(port=port).encode())
        return caller.recv(200)


def test_who_knocks_from_elsewhere_is_sent_away_and_nobody_outside_is_asked(tmp_path):
    page = "from configurator.cli import main; main()"
    command = [sys.executable, "-c", page, "page", "--port", "{port}", "--no-browser"]
    with proxy() as (came, outside), running(command, outside, tmp_path) as port:
        assert b"403" in knock(port)
        time.sleep(3)
        assert came == []


def test_the_proxy_would_notice(tmp_path):
    """Streamlit by itself looks its address up: if it no longer does, the page need not care."""
    (tmp_path / "plain.py").write_text("import streamlit as st\nst.write('x')\n")
    command = [
        sys.executable, "-m", "streamlit", "run", "plain.py", "--server.port", "{port}",
        "--server.address", "127.0.0.1", "--server.headless", "true",
        "--browser.gatherUsageStats", "false",
    ]  # fmt: skip
    with proxy() as (came, outside), running(command, outside, tmp_path) as port:
        knock(port)
        end = time.monotonic() + 15
        while not came and time.monotonic() < end:
            time.sleep(0.2)
        assert came


def test_a_port_that_is_taken_says_what_to_do(tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        page = "from configurator.cli import main; main()"
        command = [sys.executable, "-c", page, "page", "--port", str(port), "--no-browser"]
        ended = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    assert ended.returncode == 2
    assert f"port {port} is in use" in ended.stderr
    assert "Traceback" not in ended.stderr
