"""Many keys, many files, many clients."""
import json
import subprocess
import threading
import unittest

from driver import AT_ONCE, COMMAND, PATIENCE, Server, TcpClient, frame, is_sanitized, span

URI = "file:///shop/shaft.nc"


def has_open_note(diagnostics):
    return any(d.get("code") == "note_unclosed" for d in diagnostics)


class Bursts(unittest.TestCase):
    def publishes_after(self, server, messages, last_version):
        server.send_bytes(b"".join(messages))
        published = []
        while not published or published[-1]["version"] != last_version:
            message = server.wait_for(lambda m: m.get("method") == "textDocument/publishDiagnostics")
            published.append(message["params"])
        server.settle()
        self.assertFalse([m for m in server.inbox if m.get("method") == "textDocument/publishDiagnostics"])
        return published

    @staticmethod
    def key(version, character, text):
        return frame({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": {
            "textDocument": {"uri": URI, "version": version},
            "contentChanges": [{"range": span(1, character, 1, character), "text": text}]}})

    def test_500_keys_give_few_publishes_and_the_last_one_is_right(self):
        for note in ("(" + "A" * 498 + ")", "(" + "A" * 499):
            with self.subTest(end=note[-1]), Server() as server:
                server.initialize(initializationOptions=AT_ONCE)
                server.open(URI, "O1\n\nM30\n")
                server.published(URI, 1)
                keys = [self.key(2 + i, i, letter) for i, letter in enumerate(note)]
                self.assertEqual(len(keys), 500)
                published = self.publishes_after(server, keys, 501)
                self.assertLessEqual(len(published), 50)
                versions = [p["version"] for p in published]
                self.assertEqual(versions, sorted(set(versions)))
                self.assertEqual(has_open_note(published[-1]["diagnostics"]), note[-1] != ")")

    def test_a_request_between_keys_sees_the_keys_before_it(self):
        with Server() as server:
            server.initialize()
            server.open(URI, "O1\n\nM30\n")
            messages = [self.key(2, 0, "N5 T0505"),
                        frame({"jsonrpc": "2.0", "id": "a", "method": "textDocument/hover", "params": {
                            "textDocument": {"uri": URI}, "position": {"line": 1, "character": 4}}}),
                        self.key(3, 8, " M08")]
            server.asked["a"] = "textDocument/hover"
            server.send_bytes(b"".join(messages))
            self.assertIsNotNone(server.answer("a")["result"])

    def test_an_outline_that_newer_text_makes_pointless_is_refused_or_right(self):
        with Server() as server:
            server.initialize()
            server.open(URI, "O1\n\nM30\n")
            server.published(URI, 1)
            ask = {"jsonrpc": "2.0", "id": "s", "method": "textDocument/documentSymbol", "params": {"textDocument": {"uri": URI}}}
            server.asked["s"] = "textDocument/documentSymbol"
            server.send_bytes(b"".join([self.key(2 + i, 0, "(A)") for i in range(300)] + [frame(ask), self.key(302, 0, "(B)")]))
            reply = server.answer("s")
            self.assertTrue("result" in reply or reply["error"]["code"] == -32801, reply)

    def test_old_warnings_do_not_stay(self):
        # A later empty set must be the last word, however fast it follows.
        with Server() as server:
            server.initialize()
            for round_number in range(50):
                uri = f"{URI}{round_number}"
                server.open(uri, "(OPEN\n", 1)
                server.change(uri, 2, {"text": "(CLOSED)\n"})
                server.close(uri)
            server.settle()
            last = {}
            for message in server.inbox:
                last[message["params"]["uri"]] = message["params"]["diagnostics"]
            self.assertEqual(len(last), 50)
            self.assertFalse(any(last.values()))


@unittest.skipIf(is_sanitized(), "memory is kept to find faults")
class Growth(unittest.TestCase):
    def test_10000_opens_and_closes_take_no_more_memory(self):
        with Server() as server:
            server.initialize()
            text = "%\nO1001 (SHAFT)\n" + "N1 T0101\nG96 S180 M03\nG01 X40. Z-12.5 F0.2\n(OPEN\n" * 10 + "M30\n%\n"

            def open_and_close(count):
                for first in range(0, count, 20):
                    uris = [f"file:///shop/program%20{first + number}.nc" for number in range(20)]
                    for uri in uris:
                        server.open(uri, text, 1)
                    for uri in uris:
                        self.assertTrue(has_open_note(server.published(uri, 1)))
                        server.close(uri)
                    server.settle()
                    server.inbox.clear()
                return server.memory_kb()

            warm = open_and_close(200)
            after = open_and_close(10_000)
            # An open program with its results takes far more than 0.3 kB, the most that could stay behind of each.
            self.assertLess(after - warm, 3000, (warm, after))

    def test_20000_keys_take_no_more_memory(self):
        with Server() as server:
            server.initialize()
            server.open(URI, "G01 X40. Z-12.5 F0.2\n" * 500)

            def type_keys(first, count):
                for start in range(first, first + count, 500):
                    server.send_bytes(b"".join(Bursts.key(version, 20, "X") if version % 2 else frame(
                        {"jsonrpc": "2.0", "method": "textDocument/didChange", "params": {
                            "textDocument": {"uri": URI, "version": version},
                            "contentChanges": [{"range": span(1, 20, 1, 21), "text": ""}]}})
                        for version in range(start, start + 500)))
                    server.published(URI, start + 499)
                server.settle()
                server.inbox.clear()
                return server.memory_kb()

            warm = type_keys(3, 2000)
            after = type_keys(2003, 20000)
            self.assertLess(after - warm, 3000, (warm, after))


class Tcp(unittest.TestCase):
    def setUp(self):
        self.process = subprocess.Popen([*COMMAND, "serve", "--port", "0"], stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE)
        self.addCleanup(self.end)
        lines = []
        while not lines or "listening on 127.0.0.1:" not in lines[-1]:
            line = self.process.stderr.readline().decode()
            self.assertTrue(line, lines)
            lines.append(line)
        self.assertTrue(any("warning" in line for line in lines), lines)
        self.port = int(lines[-1].rsplit(":", 1)[1])
        threading.Thread(target=self.process.stderr.read, daemon=True).start()

    def end(self):
        self.process.kill()
        self.process.wait(PATIENCE)
        self.assertEqual(self.process.stdout.read(), b"")
        self.process.stdout.close()

    def test_two_clients_at_once_have_their_own_programs(self):
        with TcpClient(self.port) as one, TcpClient(self.port) as two:
            one.initialize(capabilities={"general": {"positionEncodings": ["utf-8"]}})
            two.initialize(capabilities={"general": {"positionEncodings": ["utf-32"]}})
            one.open(URI, "(OPEN\n")
            two.open(URI, "(CLOSED)\n")
            self.assertTrue(has_open_note(one.published(URI, 1)))
            self.assertFalse(has_open_note(two.published(URI, 1)))
            for version in range(2, 50):
                one.change(URI, version, {"text": "(CLOSED)\n" if version % 2 else "(OPEN\n"})
                two.change(URI, version, {"text": "(OPEN\n" if version % 2 else "(CLOSED)\n"})
            self.assertFalse(has_open_note(one.published(URI, 49)))
            self.assertTrue(has_open_note(two.published(URI, 49)))
            one.shut_down()
            two.change(URI, 50, {"text": "(OPEN AGAIN\n"})
            self.assertTrue(has_open_note(two.published(URI, 50)))
        with TcpClient(self.port) as third:  # the server outlives its clients
            third.initialize()

    def test_only_loopback(self):
        with open("/proc/net/tcp", encoding="ascii") as file:
            places = [line.split()[1] for line in file.readlines()[1:] if line.split()[3] == "0A"]
        mine = [place for place in places if int(place.split(":")[1], 16) == self.port]
        self.assertEqual([place.split(":")[0] for place in mine], ["0100007F"])

    def test_what_a_web_page_can_make_a_browser_send_ends_the_connection(self):
        body = json.dumps({"jsonrpc": "2.0", "id": 1, "method": "initialize", "params": {"capabilities": {}}}).encode()
        with TcpClient(self.port) as client:
            client.send_bytes(b"POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: %d\r\n\r\n" % len(body) + body)
            messages = []
            while (message := client.receive()) is not None:
                messages.append(message)
            self.assertTrue(all(m.get("id") is None and "error" in m for m in messages), messages)

    def test_a_taken_port(self):
        done = subprocess.run([*COMMAND, "serve", "--port", str(self.port)], capture_output=True, timeout=PATIENCE, stdin=subprocess.DEVNULL)
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"in use", done.stderr)


if __name__ == "__main__":
    unittest.main()
