"""The picture that the server shows in a browser beside any editor: who may see it, what it follows, what it withstands."""
import copy
import http.client
import os
import socket
import tempfile
import time
import unittest
import urllib.parse

from driver import CAPABILITIES, PATIENCE, WINDOWS, Server, path_of, position, span, uri_of

URI = "file:///shop/turned-pin.nc"
PROGRAM = """%
O0021 (TURNED PIN)
G21 G18 G40 G99
N1 (TURN)
T0101
G97 S1200 M03
G00 X42. Z2.
G01 Z-30. F0.2
G00 X60. Z40.
M30
%
"""
SHOWS = copy.deepcopy(CAPABILITIES)
SHOWS["window"] = {"showDocument": {"support": True}}
ON = {"turnwright": {"pictureBeside": {"offered": True}}}


def blocks_along(count):
    """So many passes along one cylinder."""
    return "".join(f"G01 X36.5 Z-{i % 90}.25 F0.2\n" for i in range(count))


class Events:
    """The page's row of events, read as a browser reads it."""

    def __init__(self, page):
        self.connection = http.client.HTTPConnection("127.0.0.1", page.port, timeout=PATIENCE)
        self.connection.request("GET", page.path + "events")
        self.answer = self.connection.getresponse()

    def next(self):
        """(kind, data); None at the end."""
        kind = data = None
        end = time.monotonic() + PATIENCE
        while True:
            assert time.monotonic() < end, "the row says nothing but that it is there"
            line = self.answer.readline()
            if not line:
                return None
            line = line.decode().rstrip("\n")
            if line.startswith("event: "):
                kind = line.removeprefix("event: ")
            elif line.startswith("data: "):
                data = line.removeprefix("data: ")
            elif not line and kind:
                return kind, data

    def wait_for(self, wanted):
        while (event := self.next()) is not None:
            if event[0] == wanted:
                return event[1]
        raise AssertionError(f"the row ended before {wanted}")

    def wait_for_line(self, number):
        while self.wait_for("line") != str(number):
            pass

    def close(self):
        self.answer.close()
        self.connection.close()


class Page:
    """A program with its picture, opened as the editor's command does."""

    def __init__(self, server, text=PROGRAM, settings=ON):
        self.server, self.version = server, 1
        self.asked_to_show = []
        server.answers_to_server["window/showDocument"] = self.show
        server.initialize(SHOWS, initializationOptions=settings)
        server.open(URI, text)
        self.open_page()

    def open_page(self):
        self.address = self.server.request("workspace/executeCommand",
                                           {"command": "turnwright.pictureBeside", "arguments": [URI]})
        parts = urllib.parse.urlsplit(self.address or "http://127.0.0.1:1/none/")
        self.port, self.path = parts.port, parts.path

    def show(self, params):
        self.asked_to_show.append(params)
        return {"success": True}

    def ask(self, method="GET", what="", path=None, headers=None, body=None):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        connection.request(method, (self.path if path is None else path) + what, body=body, headers=headers or {})
        answer = connection.getresponse()
        content = answer.read().decode()
        connection.close()
        return answer, content

    def status(self, *arguments, **named):
        return self.ask(*arguments, **named)[0].status

    def raw(self, request):
        """The first line of the answer to these bytes; empty when there is none."""
        with socket.create_connection(("127.0.0.1", self.port), PATIENCE) as connection:
            connection.sendall(request)
            return connection.makefile("rb").readline().decode().strip()

    def change(self, line, text):
        self.version += 1
        self.server.change(URI, self.version, {"range": span(line, 0, line + 1, 0), "text": text})

    def click(self, line, **headers):
        return self.status("POST", f"line/{line}", headers={"Origin": f"http://127.0.0.1:{self.port}", **headers})


class Offered(unittest.TestCase):
    def test_it_is_off_unless_a_setting_says_otherwise(self):
        for settings in (None, {"pictureBeside": {"offered": "yes"}}, {"turnwright": {"pictureBeside": {"offered": False}}}):
            with Server() as server:
                page = Page(server, settings=settings)
                self.assertIsNone(page.address)
                told = server.wait_for(lambda m: m.get("method") == "window/showMessage")
                self.assertIn("pictureBeside.offered", told["params"]["message"])
                self.assertEqual(self.offers(server), [])
                self.assertFalse([line for line in server.log if "served on" in line])
                server.shut_down()

    def test_an_action_opens_it_and_one_line_warns(self):
        with Server() as server:
            page = Page(server)
            self.assertRegex(page.address, r"^http://127\.0\.0\.1:\d+/[0-9a-f]{32}/$")
            self.assertEqual(page.asked_to_show, [{"uri": page.address, "external": True}])
            action, = self.offers(server)
            self.assertEqual(action["title"], "Show the picture beside the editor")
            self.assertEqual(action["command"]["command"], "turnwright.pictureBeside")
            first = page.address
            page.open_page()
            self.assertEqual(page.address, first)
            server.logged("warning: pictures are served on 127.0.0.1")
            self.assertEqual(len([line for line in server.log if "pictures are served" in line]), 1)
            self.assertFalse([line for line in server.log if page.path.strip("/") in line], "the log gives the address away")
            server.shut_down()

    def offers(self, server):
        actions = server.request("textDocument/codeAction", {"textDocument": {"uri": URI}, "range": span(5, 0, 5, 0),
                                                             "context": {"diagnostics": [], "only": ["source"]}})
        return [action for action in actions if action["kind"] == "source.turnwright.pictureBeside"]

    def test_two_programs_have_two_addresses(self):
        with Server() as server:
            page = Page(server)
            other = URI.replace("pin", "ring")
            server.open(other, PROGRAM)
            second = server.request("workspace/executeCommand", {"command": "turnwright.pictureBeside", "arguments": [other]})
            self.assertEqual(urllib.parse.urlsplit(second).port, page.port)
            self.assertNotEqual(second, page.address)
            server.shut_down()

    def test_it_ends_with_the_program_the_setting_and_the_server(self):
        with Server() as server:
            page = Page(server)
            events = Events(page)
            server.close(URI)
            events.wait_for("closed")
            self.assertIsNone(events.next())
            self.assertEqual(page.status(), 404)
            server.open(URI, PROGRAM)
            old = page.address
            page.open_page()
            self.assertNotEqual(page.address, old)
            server.notify("workspace/didChangeConfiguration", {"settings": {"turnwright": {"pictureBeside": {"offered": False}}}})
            server.settle()
            self.refused(page)
            server.notify("workspace/didChangeConfiguration", {"settings": ON})
            page.open_page()
            self.assertEqual(page.status(), 200)
            server.request("shutdown")
            self.refused(page)
            server.notify("exit")

    def refused(self, page):
        with self.assertRaises(OSError):
            page.status()


class Doors(unittest.TestCase):
    def setUp(self):
        self.server = Server().__enter__()
        self.page = Page(self.server)
        self.own = f"127.0.0.1:{self.page.port}"

    def tearDown(self):
        self.server.hover(URI, 6, 1)  # whatever was sent, the editor is answered
        self.server.shut_down()
        self.server.__exit__(None, None, None)

    def test_the_page_is_for_its_own_origin_alone(self):
        answer, page = self.page.ask()
        self.assertEqual(answer.status, 200)
        self.assertIn("G01 Z-30. F0.2", page)
        self.assertEqual(answer.headers["Content-Type"], "text/html; charset=utf-8")
        self.assertEqual(answer.headers["Cache-Control"], "no-store")
        self.assertEqual(answer.headers["Cross-Origin-Resource-Policy"], "same-origin")
        self.assertEqual(answer.headers["X-Content-Type-Options"], "nosniff")
        self.assertEqual(answer.headers["Referrer-Policy"], "no-referrer")
        self.assertIn("frame-ancestors 'none'", answer.headers["Content-Security-Policy"])
        self.assertFalse([name for name in answer.headers if name.lower().startswith("access-control")])
        self.assertIn("default-src 'none'", page)
        self.assertIn("connect-src 'self'", page)
        answer, _ = self.page.ask(headers={"Origin": "http://example.org"})
        self.assertEqual(answer.status, 403)

    def test_only_the_right_token_opens(self):
        token = self.page.path.strip("/")
        other = ("0" if token[-1] != "0" else "1")
        for path in ("/", "/x/", f"/{token[:-1]}/", f"/{token}0/", f"/{token[:-1]}{other}/", f"/{token.upper()}x/", f"/{token}",
                     f"//{token}/", f"/{'0' * 32}/", f"/{'0' * 32}/events"):
            self.assertEqual(self.page.status(path=path), 404, path)

    def test_nothing_but_the_page_is_served(self):
        for what in ("index.html", "../", "..%2f..%2fetc/passwd", "turned-pin.nc", "events/", "event", "line/3", "?", "favicon.ico"):
            self.assertEqual(self.page.status(what=what), 404, what)

    def test_another_host_in_the_request_is_refused(self):
        for host in ("localhost", f"localhost:{self.page.port}", "127.0.0.1", f"evil.example:{self.page.port}", "127.0.0.1:1", ""):
            self.assertEqual(self.page.status(headers={"Host": host}), 403, host)
        line = f"GET {self.page.path} HTTP/1.1\r\n".encode()
        self.assertIn("400", self.page.raw(line + b"\r\n"))
        twice = f"Host: {self.own}\r\nHost: evil.example\r\n\r\n".encode()
        self.assertIn("400", self.page.raw(line + twice))
        self.assertIn("200", self.page.raw(line + f"host:{self.own}\r\n\r\n".encode()))

    def test_a_click_must_come_from_the_page(self):
        self.assertEqual(self.page.status("POST", "line/3"), 403)
        self.assertEqual(self.page.click(3, Origin="http://evil.example"), 403)
        self.assertEqual(self.page.click(3, Origin="null"), 403)
        self.assertEqual(self.page.status("POST", "line/3", headers={"Origin": f"http://{self.own}"}, body=b"more"), 400)
        for what in ("line/", "line/0", "line/-1", "line/3x", "line/99999999999", "line/ 3"):
            answer = self.page.raw(f"POST {self.page.path}{what} HTTP/1.1\r\nHost: {self.own}\r\nOrigin: http://{self.own}\r\n\r\n"
                                   .encode())
            self.assertIn("400", answer, what)
        self.assertEqual(len(self.page.asked_to_show), 1)  # the page itself

    def test_other_methods_and_no_http_at_all(self):
        for method in ("PUT", "DELETE", "OPTIONS", "TRACE", "HEAD", "CONNECT", "get"):
            self.assertEqual(self.page.status(method), 405, method)
        for request in (b"\r\n\r\n", b"GET\r\n\r\n", b"GET / HTTP/9\r\n\r\n", b"\x16\x03\x01\x02\r\n\r\n", b"GET  /  HTTP/1.1\r\n\r\n",
                        f"GET {self.page.path} HTTP/1.1\r\nHost: {self.own}\r\n folded\r\n\r\n".encode(),
                        f"GET {self.page.path} HTTP/1.1\r\nHost : {self.own}\r\n\r\n".encode(), b"Content-Length: 2\r\n\r\n{}"):
            self.assertIn("400", self.page.raw(request), request)

    def test_a_head_without_end_is_cut_off(self):
        for filler in (b"X: " + b"y" * 100_000, b"A: b\r\n" * 20_000, b"y" * 1_000_000):
            try:
                answer = self.page.raw(f"GET {self.page.path} HTTP/1.1\r\nHost: {self.own}\r\n".encode() + filler)
            except OSError:  # closed while it was still being sent
                continue
            self.assertIn("431", answer or "431")
        self.assertEqual(self.page.status(), 200)
        self.assertEqual(self.page.raw(f"GET {self.page.path} HTTP/1.1\r\nHost: {self.own}\r\nX: ".encode() + b"y" * 9000 +
                                       b"\r\n\r\n"), "HTTP/1.1 431 Request Header Fields Too Large")

    def test_a_slow_client_is_let_go_and_holds_up_nobody(self):
        with socket.create_connection(("127.0.0.1", self.page.port), PATIENCE) as slow:
            slow.sendall(b"GET /")
            self.assertEqual(self.page.status(), 200)
            self.assertEqual(slow.recv(100), b"")

    def test_many_connections_are_turned_away_and_the_editor_is_answered(self):
        crowd = [socket.create_connection(("127.0.0.1", self.page.port), PATIENCE) for _ in range(200)]
        self.assertTrue(self.server.hover(URI, 6, 1))
        ended = sum(connection.recv(1) == b"" for connection in crowd)  # at once, or when their time is over
        self.assertEqual(ended, 200)
        for connection in crowd:
            connection.close()
        self.assertEqual(self.page.status(), 200)

    def test_rows_of_events_have_a_bound_and_room_for_the_page(self):
        rows = []
        while len(rows) < 40:
            rows.append(Events(self.page))
            if rows[-1].answer.status != 200:
                break
        self.assertEqual(rows[-1].answer.status, 503)
        self.assertEqual(self.page.status(), 200)
        for row in rows:
            row.close()
        self.page.change(7, "G01 Z-31. F0.2\n")  # the next events find out who is gone
        while self.page.ask()[0].status != 200 or (again := Events(self.page)).answer.status != 200:
            again.close()
        again.close()

    @unittest.skipIf(WINDOWS, "the list of ports is this system's")
    def test_it_listens_on_the_loopback_address_alone(self):
        listening = []
        for name in ("tcp", "tcp6"):
            with open(f"/proc/{self.server.process.pid}/net/{name}", encoding="ascii") as file:
                for row in list(file)[1:]:
                    address, state = row.split()[1], row.split()[3]
                    if state == "0A" and address.endswith(f":{self.page.port:04X}"):
                        listening.append(address)
        self.assertEqual(listening, [f"0100007F:{self.page.port:04X}"])


class Following(unittest.TestCase):
    def test_an_edit_makes_the_picture_anew_and_goes_there(self):
        with Server() as server:
            page = Page(server)
            events = Events(page)
            first = events.wait_for("page")
            page.change(7, "G01 Z-33.5 F0.2\n")
            events.wait_for_line(7)
            number = events.wait_for("page")
            self.assertGreater(int(number), int(first))
            html = page.ask()[1]
            self.assertIn("G01 Z-33.5 F0.2", html)
            self.assertIn(f'data-follows="{number}"', html)
            server.shut_down()

    def test_it_goes_to_the_block_that_was_last_asked_about(self):
        with Server() as server:
            page = Page(server)
            events = Events(page)
            server.hover(URI, 6, 1)
            events.wait_for_line(6)
            server.request("textDocument/documentHighlight", {"textDocument": {"uri": URI}, "position": position(8, 1)})
            events.wait_for_line(8)
            server.request("textDocument/selectionRange", {"textDocument": {"uri": URI}, "positions": [position(4, 1)]})
            events.wait_for_line(4)
            late = Events(page)  # who comes later is told where the editor is
            late.wait_for_line(4)
            server.shut_down()

    def test_a_click_moves_the_editor(self):
        with Server() as server:
            page = Page(server)
            self.assertEqual(page.click(8), 204)
            server.settle()
            server.hover(URI, 0, 0)
            self.assertEqual(page.asked_to_show[1:], [{"uri": URI, "takeFocus": False, "selection": span(7, 0, 7, 0)}])
            self.assertEqual(page.click(5000), 204)  # from a picture of a text that was longer
            server.hover(URI, 0, 0)
            self.assertEqual(len(page.asked_to_show), 2)
            server.shut_down()

    def test_what_changed_while_nobody_looked_is_drawn_when_somebody_does(self):
        with Server() as server:
            page = Page(server)
            page.change(7, "G01 Z-34.5 F0.2\n")
            server.hover(URI, 0, 0)
            events = Events(page)
            while "Z-34.5" not in page.ask()[1]:
                events.wait_for("page")
            server.shut_down()

    def test_a_shop_file_and_a_called_program_count_as_edits(self):
        with Server() as server:
            caller = PROGRAM.replace("G00 X60.", "M98 P0022\nG00 X60.")
            page = Page(server, caller)
            other = URI.replace("pin", "groove")
            server.open(other, "%\nO0022 (GROOVE)\nG01 X30. F0.05\nM99\n%\n")
            server.hover(URI, 0, 0)
            events = Events(page)
            number = int(events.wait_for("page"))
            server.change(other, 2, {"range": span(2, 0, 2, 8), "text": "G01 X28."})
            server.hover(URI, 0, 0)
            while int(events.wait_for("page")) <= number:
                pass
            while "O0022 line 3: G01 X28. F0.05" not in page.ask()[1]:
                events.wait_for("page")
            server.shut_down()

    def test_broken_text_has_a_page(self):
        for text in ("", "\0\x01 (((", "G71 P1 Q2\nN2 G01 X\nWHILE[1EQ1]DO1\nEND1\nGOTO\n" * 20, "G76 " * 3000):
            with Server() as server:
                page = Page(server, text)
                self.assertEqual(page.status(), 200)
                page.server.change(URI, 2, {"text": PROGRAM})
                events = Events(page)
                while "TURNED PIN" not in page.ask()[1]:
                    events.wait_for("page")
                page.server.change(URI, 3, {"text": text})
                events.wait_for("page")
                server.shut_down()

    def test_a_hundred_thousand_blocks_are_drawn_beside_the_server(self):
        with Server() as server:
            page = Page(server, PROGRAM.replace("G01 Z-30. F0.2\n", blocks_along(100_000)))
            events = Events(page)
            events.wait_for("page")
            edits = 40
            for i in range(edits):
                page.change(50, f"G01 X{10 + i}.25 F0.2\n")
                server.hover(URI, 50, 1)  # answered while a picture is being made
            numbers = []
            while "X49.25" not in page.ask()[1]:
                numbers.append(int(events.wait_for("page")))
            self.assertEqual(numbers, sorted(set(numbers)))
            self.assertLess(len(numbers), edits, "each was drawn, not the latest")
            server.shut_down()

    def test_the_server_ends_while_a_picture_is_being_made(self):
        with Server() as server:
            page = Page(server, PROGRAM.replace("G01 Z-30. F0.2\n", blocks_along(50_000)))
            events = Events(page)
            events.wait_for("page")
            page.change(50, "G01 X11. F0.2\n")
            server.shut_down()
            self.assertEqual(server.end(), 0)


class InTheEditor(unittest.TestCase):
    def test_an_editor_with_a_window_of_its_own_is_given_the_page(self):
        shown = []
        with Server() as server:
            server.answers_to_server["window/showDocument"] = lambda params: shown.append(params) or {"success": True}
            server.initialize(SHOWS)
            server.open(URI, PROGRAM)
            html = server.request("workspace/executeCommand", {"command": "turnwright.picture", "arguments": [URI, "text"]})
            self.assertIn("TURNED PIN", html)
            self.assertNotIn("data-follows=", html)
            self.assertNotIn("connect-src", html)  # it asks nothing of any network
            self.assertEqual(shown, [])
            self.assertFalse([m for m in server.inbox if m.get("method") == "$/progress"])
            server.shut_down()

    def test_what_changed_since_saving_is_drawn(self):
        shown = []
        with tempfile.TemporaryDirectory() as folder, Server() as server:
            path = os.path.join(os.path.realpath(folder), "pin.nc")
            with open(path, "w", encoding="utf-8") as file:
                file.write(PROGRAM)
            server.answers_to_server["window/showDocument"] = lambda params: shown.append(params) or {"success": True}
            server.initialize(SHOWS, rootUri=uri_of(os.path.dirname(path)))
            server.open(uri_of(path), PROGRAM.replace("Z-30.", "Z-31."))
            page = server.request("workspace/executeCommand", {"command": "turnwright.compareDrawn", "arguments": [uri_of(path)]})
            server.settle()
            self.assertEqual(shown, [{"uri": page, "external": True}])
            with open(path_of(page), encoding="utf-8") as file:
                drawn = file.read()
            self.assertIn("<h1>What differs: saved file and this text</h1>", drawn)
            self.assertIn("X42. Z-31.", drawn)
            server.shut_down()


if __name__ == "__main__":
    unittest.main()
