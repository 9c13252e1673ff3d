"""Bytes that are no good messages: the standard's error or silence, and the server lives."""
import json
import time
import unittest

from driver import CAPABILITIES, Server, frame, is_sanitized, span

URI = "file:///shop/flange.nc"


class Frames(unittest.TestCase):
    def setUp(self):
        self.server = self.enterContext(Server())

    def still_serves(self):
        self.server.initialize()
        self.server.open(URI, "(OPEN\n")
        self.assertIn("note_unclosed", [d.get("code") for d in self.server.published(URI, 1)])

    def error_without_id(self):
        return self.server.wait_for(lambda m: m.get("id") is None and "error" in m)["error"]

    def ask_nothing(self, identity):
        return frame({"jsonrpc": "2.0", "id": identity, "method": "turnwright/nothing"})

    def test_byte_by_byte(self):
        message = frame({"jsonrpc": "2.0", "id": "slow", "method": "initialize",
                         "params": {"processId": None, "rootUri": None, "capabilities": {}}})
        self.server.asked["slow"] = "initialize"
        for index in range(len(message)):
            self.server.send_bytes(message[index:index + 1])
            if index % 16 == 0:
                time.sleep(0.001)
        self.assertIn("result", self.server.answer("slow"))

    def test_many_in_one_write(self):
        self.server.send_bytes(b"".join(self.ask_nothing(f"n{i}") for i in range(50)))
        for i in range(50):
            self.assertEqual(self.server.answer(f"n{i}")["error"]["code"], -32002)
        self.still_serves()

    def test_headers_in_odd_case_and_company(self):
        body = json.dumps({"jsonrpc": "2.0", "id": "x", "method": "turnwright/nothing"}).encode()
        length = str(len(body)).encode()
        for number, header in enumerate([
                b"content-length: " + length + b"\r\n\r\n", b"CONTENT-LENGTH:" + length + b"\r\n\r\n",
                b"Content-Type: application/vscode-jsonrpc; charset=utf-8\r\nContent-Length: " + length + b"\r\n\r\n",
                b"coNtenT-lenGth:   " + length + b"  \r\nX-Other: a: b\r\n\r\n",
                b"\r\n\r\nContent-Length: " + length + b"\r\n\r\n", b"Content-Length: " + length + b"\n\n",
                b"Content-Length: " + length + b"\r\nContent-Length: " + length + b"\r\n\r\n",
                b"Content-Length: 00" + length + b"\r\n\r\n"]):
            with self.subTest(header=header):
                own = body.replace(b'"x"', b'"%d"' % number)
                self.server.send_bytes(header + own)
                self.assertEqual(self.server.answer(str(number))["error"]["code"], -32002)
        self.still_serves()

    def test_malformed_frames_are_answered_once_and_passed_over(self):
        for number, garbage in enumerate([
                b"hello\r\n\r\n", b"Content-Length: -5\r\n\r\n", b"Content-Length: x\r\n\r\n", b"Content-Length: 1e3\r\n\r\n",
                b"Content-Length:\r\n\r\n", b"X-Only: 1\r\n\r\n{}", b"Content-Length: 99999999999999999999\r\n\r\n",
                b"Content-Length: 9999999999999\r\n\r\n{}", b"Content-Length: 1\r\nContent-Length: 2\r\n\r\n",
                b"\x00\xff\xfe\r\n\r\n", b"X: " + b"a" * 20000 + b"\r\n\r\n", b": 5\r\n\r\n", b"{}garbage with no end ",
                b"POST / HTTP/1.1\r\nHost: localhost\r\n\r\n"]):
            with self.subTest(garbage=garbage[:60]):
                self.server.send_bytes(garbage)
                self.server.send_bytes(self.ask_nothing(f"after {number}"))
                self.assertEqual(self.server.answer(f"after {number}")["error"]["code"], -32002)
                self.assertEqual(self.error_without_id()["code"], -32700)
                self.assertFalse(self.server.inbox)
        self.still_serves()

    def test_wrong_lengths_lose_at_most_the_next_message(self):
        body = json.dumps({"jsonrpc": "2.0", "method": "turnwright/nothing"}).encode()
        for number, length in enumerate([len(body) - 5, len(body) + 3, 0]):
            with self.subTest(length=length):
                self.server.send_bytes(b"Content-Length: %d\r\n\r\n" % length + body)
                self.server.send_bytes(self.ask_nothing(f"lost {number}"))
                self.server.send_bytes(self.ask_nothing(f"kept {number}"))
                self.server.answer(f"kept {number}")
                self.assertEqual(self.error_without_id()["code"], -32700)
        self.still_serves()

    def test_bodies_that_are_no_json(self):
        for body in [b"", b"{", b"nonsense", b"{'a': 1}", b"\xef\xbb\xbf", b'{"a":"\\ud8"}', b"nan"]:
            with self.subTest(body=body):
                self.server.send_bytes(frame(body))
                self.assertEqual(self.error_without_id()["code"], -32700)
        self.still_serves()

    def test_json_that_is_no_request(self):
        for body in [b"5", b"null", b'"text"', b"[]", b'[{"jsonrpc":"2.0","id":1,"method":"shutdown"}]', b"{}", b'{"jsonrpc":"2.0"}',
                     b'{"jsonrpc":"1.0","method":"exit"}', b'{"method":"exit"}', b'{"jsonrpc":"2.0","id":null,"method":"shutdown"}',
                     b'{"jsonrpc":"2.0","id":1.5,"method":"shutdown"}', b'{"jsonrpc":"2.0","id":{},"method":"shutdown"}',
                     b'{"jsonrpc":"2.0","id":true,"method":"shutdown"}', b'{"jsonrpc":"2.0","method":5}',
                     b"[" * 100000 + b"]" * 100000, b'{"jsonrpc":"2.0","method":"x","params":' + b'{"a":' * 5000 + b"1" + b"}" * 5001]:
            with self.subTest(body=body[:60]):
                self.server.send_bytes(frame(body))
                self.assertEqual(self.error_without_id()["code"], -32600)
        # With an id that can be read, the error names it.
        for number, body in enumerate([b'{"id":"%s","method":"shutdown"}', b'{"jsonrpc":"2.0","id":"%s","method":7}', b'{"jsonrpc":"2.0","id":"%s"}']):
            self.server.send_bytes(frame(body % b"i%d" % number))
            self.assertEqual(self.server.answer(f"i{number}")["error"]["code"], -32600)
        self.still_serves()

    def test_replies_to_nothing_are_passed_over(self):
        for identity in (1, "x", None, 2**40):
            self.server.send({"jsonrpc": "2.0", "id": identity, "result": 5})
            self.server.send({"jsonrpc": "2.0", "id": identity, "error": {"code": 1, "message": "x"}})
        self.server.logged("a reply to no request")
        self.still_serves()

    def test_errors_and_odd_replies_to_our_requests(self):
        for reply in ({"error": {"code": -32601, "message": "no"}}, {"error": 5}, {"error": {"message": 5}}, {"result": None},
                      {"result": 5}, {"result": {}}, {"result": []}, {"result": [5]}, {"result": [{"turnwright": []}]}):
            with self.subTest(reply=reply), Server() as server:
                server.answers_to_server["workspace/configuration"] = lambda params: None
                server.request("initialize", {"processId": None, "rootUri": None, "capabilities":
                                              {**CAPABILITIES, "workspace": {"configuration": True}}})
                send, server.send = server.send, lambda message: None  # keep back the usual answer
                send({"jsonrpc": "2.0", "method": "initialized", "params": {}})
                asked = server.wait_for(lambda m: m.get("method") == "workspace/configuration")
                server.send = send
                server.send({"jsonrpc": "2.0", "id": asked["id"], **reply})
                server.open(URI, "(OPEN\n")
                self.assertIn("note_unclosed", [d.get("code") for d in server.published(URI)])

    def test_huge_and_tiny(self):
        self.server.initialize()
        text = "G01 X40. Z-12.5 F0.2\n" * 400_000  # 8 MB
        self.server.open(URI, text + "(OPEN\n")
        self.server.published(URI, 1, patience=120)
        self.assertIsNotNone(self.server.request("textDocument/documentSymbol", {"textDocument": {"uri": URI}}))
        self.server.change(URI, 2, {"range": span(0, 0, 400_001, 0), "text": ""})
        self.server.published(URI, 2)
        self.server.change(URI, 3, {"text": ""})
        self.assertNotIn("note_unclosed", [d.get("code") for d in self.server.published(URI, 3)])

    def test_a_body_over_the_limit_is_left_out(self):
        self.server.initialize()
        size = 129 << 20
        self.server.send_bytes(b"Content-Length: %d\r\n\r\n" % size)
        piece = b"x" * (1 << 20)
        for _ in range(129):
            self.server.send_bytes(piece)
        error = self.error_without_id()
        self.assertEqual(error["code"], -32600)
        self.assertIn("limit", error["message"])
        if not is_sanitized():
            self.assertLess(self.server.memory_kb(), 100_000)
        self.server.open(URI, "(OPEN\n")
        self.server.published(URI, 1)

    def test_the_end_inside_a_frame(self):
        for rest in (b"Content-Le", b"Content-Length: 50\r\n", b"Content-Length: 50\r\n\r\n{", b"garbage"):
            with self.subTest(rest=rest), Server() as server:
                server.initialize()
                server.send_bytes(rest)
                server.process.stdin.close()
                self.assertEqual(server.end(), 1)


if __name__ == "__main__":
    unittest.main()
