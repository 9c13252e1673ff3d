"""Drives headless Firefox as browser.py drives chromium: over WebDriver BiDi (W3C), with no package but the browser."""

import base64
import json
import os
import re
import socket
import struct
import subprocess
import time
from pathlib import Path

KEYS = {"ArrowLeft": "\ue012", "ArrowUp": "\ue013", "ArrowRight": "\ue014", "ArrowDown": "\ue015", "Home": "\ue011",
        "End": "\ue010", "PageUp": "\ue00e", "PageDown": "\ue00f", "Enter": "\ue007"}
SHIFT = "\ue008"


class WebSocket:
    """RFC 6455, a client of one text message at a time."""

    def __init__(self, port, path):
        self._stream = socket.create_connection(("127.0.0.1", port), 180)
        key = base64.b64encode(os.urandom(16)).decode()
        self._stream.sendall((f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
                              f"Sec-WebSocket-Key: {key}\r\nSec-WebSocket-Version: 13\r\n\r\n").encode())
        self._held = b""
        while b"\r\n\r\n" not in self._held:
            self._held += self._more()
        answer, self._held = self._held.split(b"\r\n\r\n", 1)
        if b" 101 " not in answer.split(b"\r\n", 1)[0]:
            raise ConnectionError(answer.decode("latin-1"))

    def _more(self):
        piece = self._stream.recv(1 << 20)
        if not piece:
            raise EOFError("the browser ended")
        return piece

    def _take(self, count):
        while len(self._held) < count:
            self._held += self._more()
        taken, self._held = self._held[:count], self._held[count:]
        return taken

    def send(self, text):
        data, mask = text.encode(), os.urandom(4)
        size = len(data)
        head = b"\x81" + (struct.pack("!B", 0x80 | size) if size < 126 else
                          struct.pack("!BH", 0xfe, size) if size < 65536 else struct.pack("!BQ", 0xff, size))
        whole = mask * (size // 4 + 1)
        masked = (int.from_bytes(data, "big") ^ int.from_bytes(whole[:size], "big")).to_bytes(size, "big")
        self._stream.sendall(head + mask + masked)

    def receive(self):
        text = b""
        while True:
            first, size = self._take(2)
            size &= 0x7f
            if size == 126:
                size, = struct.unpack("!H", self._take(2))
            elif size == 127:
                size, = struct.unpack("!Q", self._take(8))
            data = self._take(size)
            if first & 0xf == 8:
                raise EOFError("the browser ended")
            if first & 0xf in (0, 1):
                text += data
                if first & 0x80:
                    return text.decode()

    def close(self):
        self._stream.close()


def plain(value):
    """What a script gave, out of its written form."""
    kind, held = value["type"], value.get("value")
    if kind in ("array", "set"):
        return [plain(one) for one in held or []]
    if kind in ("object", "map"):
        return {key if isinstance(key, str) else plain(key): plain(one) for key, one in held or []}
    if kind == "number" and isinstance(held, str):
        return float(held.replace("Infinity", "inf").replace("-0", "0"))
    return held


class Firefox:
    def __init__(self, folder):
        folder = Path(folder)
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "user.js").write_text("".join(f'user_pref("{name}", {value});\n' for name, value in (
            ("remote.active-protocols", 1), ("app.update.enabled", "false"), ("browser.shell.checkDefaultBrowser", "false"),
            ("datareporting.policy.dataSubmissionEnabled", "false"), ("network.captive-portal-service.enabled", "false"),
            ("network.connectivity-service.enabled", "false"), ("browser.startup.homepage", '"about:blank"'),
            ("toolkit.telemetry.enabled", "false"), ("layout.css.prefers-color-scheme.content-override", 1))))
        self._process = subprocess.Popen(
            ["firefox-esr", "--headless", "--no-remote", "--profile", str(folder), "--remote-debugging-port", "0", "about:blank"],
            stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, env={**os.environ, "HOME": str(folder), "MOZ_DISABLE_AUTO_SAFE_MODE": "1"})
        port = 0
        while not port:
            line = self._process.stderr.readline()
            if not line:
                raise EOFError("the browser did not start")
            found = re.search(r"ws://127\.0\.0\.1:(\d+)", line)
            port = int(found.group(1)) if found else 0
        self._socket = WebSocket(port, "/session")
        self._number = 0
        self.events = []
        self._command("session.new", {"capabilities": {}})
        self._command("session.subscribe", {"events": ["log.entryAdded", "network.beforeRequestSent"]})
        self._context = self._command("browsingContext.getTree", {})["contexts"][0]["context"]

    def _command(self, method, params):
        self._number += 1
        self._socket.send(json.dumps({"id": self._number, "method": method, "params": params}))
        while True:
            answer = json.loads(self._socket.receive())
            if answer.get("id") == self._number:
                if answer["type"] == "error":
                    raise RuntimeError(answer)
                return answer["result"]
            self.events.append(answer)

    def open(self, path, fragment=""):
        address = str(path) if str(path).startswith("http://") else Path(path).as_uri()
        for url in ("about:blank", address + fragment):
            self.events.clear()
            self._command("browsingContext.navigate", {"context": self._context, "url": url, "wait": "complete"})

    def _evaluate(self, expression, waits=False):
        return self._command("script.evaluate", {"expression": expression, "target": {"context": self._context}, "awaitPromise": waits})

    def run(self, expression):
        answer = self._evaluate(expression)
        if answer["type"] == "exception":
            raise RuntimeError(answer["exceptionDetails"])
        return plain(answer["result"])

    def text(self, name):
        return self.run(f"document.getElementById('{name}').textContent")

    def requests(self):
        """Not what the browser's own styles hold in themselves."""
        self.run("0")  # What was told before it has come then
        return [event["params"]["request"]["url"] for event in self.events
                if event.get("method") == "network.beforeRequestSent" and not event["params"]["request"]["url"].startswith("data:")]

    def problems(self):
        self.run("0")  # What was told before it has come then
        # It asks for an icon by itself, and the page's policy refuses it.
        return [event["params"] for event in self.events
                if event.get("method") == "log.entryAdded" and event["params"]["level"] in ("error", "warn")
                and "favicon.ico" not in str(event["params"])]

    def screenshot(self, name):
        picture = base64.b64decode(self._command("browsingContext.captureScreenshot", {"context": self._context})["data"])
        folder = os.environ.get("SCREENSHOTS")
        if folder:
            Path(folder).mkdir(parents=True, exist_ok=True)
            (Path(folder) / ("firefox-" + name)).write_bytes(picture)
        return picture

    def pdf(self, path, inches=(8.5, 11)):
        paper = {"width": inches[0] * 2.54, "height": inches[1] * 2.54}
        Path(path).write_bytes(base64.b64decode(
            self._command("browsingContext.print", {"context": self._context, "page": paper})["data"]))

    def call(self, method, params):
        """The few of chromium's own commands that the tests speak."""
        if method == "Emulation.setDeviceMetricsOverride":
            return self._command("browsingContext.setViewport",
                                 {"context": self._context, "viewport": {"width": params["width"], "height": params["height"]}})
        if method == "Input.dispatchKeyEvent":
            return self._key(params)
        if method == "Input.dispatchMouseEvent":
            return self._mouse(params)
        if method == "Runtime.evaluate":
            answer = self._evaluate(params["expression"], params.get("awaitPromise", False))
            return {"result": {"value": plain(answer["result"])}}
        if method == "Emulation.setEmulatedMedia":
            return {}  # Light: the profile says so
        raise NotImplementedError(method)

    def _key(self, params):
        if params["type"] != "keyDown":
            return
        key = KEYS.get(params["key"], params["key"])
        shift = params.get("modifiers") == 8
        actions = [{"type": "keyDown", "value": key}, {"type": "keyUp", "value": key}]
        if shift:
            actions = [{"type": "keyDown", "value": SHIFT}, *actions, {"type": "keyUp", "value": SHIFT}]
        self._command("input.performActions", {"context": self._context, "actions": [{"type": "key", "id": "keys", "actions": actions}]})

    def _mouse(self, params):
        if params["type"] != "mousePressed":
            return
        self._command("input.performActions", {"context": self._context, "actions": [{"type": "pointer", "id": "mouse", "actions": [
            {"type": "pointerMove", "x": round(params["x"]), "y": round(params["y"])}, {"type": "pointerDown", "button": 0}, {"type": "pointerUp", "button": 0}]}]})

    def close(self):
        try:
            self._command("browser.close", {})
        except (EOFError, OSError, RuntimeError):
            pass
        self._socket.close()
        try:
            self._process.wait(20)
        except subprocess.TimeoutExpired:
            self._process.terminate()
            self._process.wait(20)
        self._process.stderr.close()
