"""From initialize to exit, in right and wrong order; and a client that dies."""
import copy
import json
import os
import signal
import subprocess
import tempfile
import time
import unittest

from driver import COMMAND, Server, frame, position, start_bystander
from yardstick import THOROUGH

URI = "file:///shop/flange.nc"
HERE = os.path.dirname(os.path.abspath(__file__))
HOVER = {"textDocument": {"uri": URI}, "position": position(0, 0)}


class Lifecycle(unittest.TestCase):
    def test_exit_codes(self):
        with Server() as server:
            server.initialize()
            server.shut_down()
            self.assertEqual(server.end(), 0)
        with Server() as server:
            server.initialize()
            server.notify("exit")
            self.assertEqual(server.end(), 1)
        with Server() as server:
            server.notify("exit")  # allowed before initialize
            self.assertEqual(server.end(), 1)

    def test_end_of_input(self):
        with Server() as server:
            server.initialize()
            server.process.stdin.close()
            self.assertEqual(server.end(), 1)
        with Server() as server:
            server.initialize()
            server.request("shutdown")
            server.process.stdin.close()
            self.assertEqual(server.end(), 0)

    def test_before_initialize(self):
        with Server() as server:
            self.assertEqual(server.error("textDocument/hover", HOVER), -32002)
            self.assertEqual(server.error("shutdown"), -32002)
            server.open(URI, "(OPEN\n")  # dropped, as the protocol says
            server.initialize()
            self.assertEqual(server.error("textDocument/hover", HOVER), -32602)
            self.assertEqual(server.error("initialize", {"processId": None, "rootUri": None, "capabilities": {}}), -32600)

    def test_after_shutdown(self):
        with Server() as server:
            server.initialize()
            server.open(URI, "(OPEN\n")
            server.published(URI)
            server.request("shutdown")
            self.assertEqual(server.error("textDocument/hover", HOVER), -32600)
            self.assertEqual(server.error("shutdown"), -32600)
            self.assertEqual(server.error("initialize", {"processId": None, "rootUri": None, "capabilities": {}}), -32600)
            server.change(URI, 2, {"text": "(MORE\n"})
            server.settle()
            self.assertFalse([m for m in server.inbox if "method" in m])
            server.notify("exit")
            self.assertEqual(server.end(), 0)

    def test_a_failed_initialize_may_be_tried_again(self):
        with Server() as server:
            self.assertEqual(server.error("initialize", {"processId": "five", "capabilities": {}}), -32602)
            self.assertEqual(server.error("textDocument/hover", HOVER), -32002)
            server.initialize()

    def test_a_client_that_never_says_initialized_is_served(self):
        with Server() as server:
            server.request("initialize", {"processId": None, "rootUri": None, "capabilities": {}})
            server.open(URI, "(OPEN\n")
            self.assertTrue(server.published(URI))

    def test_unknown_methods(self):
        with Server() as server:
            server.initialize()
            self.assertEqual(server.error("textDocument/unheardOf", {}), -32601)
            self.assertEqual(server.error("$/unheardOf", {}), -32601)
            self.assertEqual(server.error("exit"), -32601)  # a notification
            for method in ("$/unheardOf", "textDocument/unheardOf", "textDocument/hover", "", "$/"):
                server.notify(method, {})
                server.notify(method)
            server.settle()
            self.assertFalse(server.inbox)

    def test_ids(self):
        with Server() as server:
            server.initialize()
            for identity in (0, -1, 2**31 - 1, "", "a", "\u00e9\U0001F527", "7"):
                self.assertEqual(server.answer(server.ask("turnwright/nothing", identity=identity))["id"], identity)
            server.send({"jsonrpc": "2.0", "id": 9.0, "method": "turnwright/nothing"})  # as some clients write 9
            self.assertEqual(server.answer(9)["error"]["code"], -32601)

    def test_trace(self):
        with Server() as server:
            server.initialize(trace="off")
            server.settle()
            self.assertFalse(server.inbox)
            server.notify("$/setTrace", {"value": "verbose"})
            server.settle()
            trace = server.wait_for(lambda m: m.get("method") == "$/logTrace")
            self.assertIn("turnwright/nothing", trace["params"]["message"])
            self.assertIn("verbose", trace["params"])
            for wrong in ({"value": 5}, {"value": "loud"}, {}, [], None):
                server.notify("$/setTrace", wrong)
            server.notify("$/setTrace", {"value": "off"})
            server.settle()
            server.inbox.clear()
            server.settle()
            self.assertFalse([m for m in server.inbox if m.get("method") == "$/logTrace"])


class Cancelling(unittest.TestCase):
    def test_waiting_requests_are_not_run(self):
        with Server() as server:
            server.initialize()
            server.open(URI, "(OPEN\n")
            # In one write, so that all of it waits when the first is answered.
            server.asked.update({f"h{i}": "textDocument/hover" for i in range(200)})
            burst = [frame({"jsonrpc": "2.0", "id": f"h{i}", "method": "textDocument/hover", "params": HOVER}) for i in range(200)]
            burst.append(frame({"jsonrpc": "2.0", "method": "$/cancelRequest", "params": {"id": "h199"}}))
            server.send_bytes(b"".join(burst))
            reply = server.answer("h199")
            # It may have been answered already; nothing else may be said.
            self.assertTrue("result" in reply or reply["error"]["code"] == -32800, reply)

    def test_a_cancelled_request_behind_long_work_is_refused(self):
        with Server() as server:
            server.initialize()
            text = "G01 X40. Z-12.5 F0.2\n" * 30_000
            server.asked["late"] = "textDocument/hover"
            server.open(URI, text)
            server.send_bytes(
                frame({"jsonrpc": "2.0", "id": 1000, "method": "textDocument/documentSymbol", "params": {"textDocument": {"uri": URI}}}) +
                frame({"jsonrpc": "2.0", "id": "late", "method": "textDocument/hover", "params": HOVER}) +
                frame({"jsonrpc": "2.0", "method": "$/cancelRequest", "params": {"id": "late"}}))
            server.asked[1000] = "textDocument/documentSymbol"
            self.assertEqual(server.answer("late")["error"]["code"], -32800)

    def test_cancelling_what_is_not_there(self):
        with Server() as server:
            server.initialize()
            for params in ({"id": 77}, {"id": "x"}, {"id": None}, {"id": {}}, {}, [], None, 5):
                server.notify("$/cancelRequest", params)
            self.assertEqual(server.error("turnwright/nothing"), -32601)


class ClientDeath(unittest.TestCase):
    def test_the_client_process_dies(self):
        client, number = start_bystander()
        try:
            with Server() as server:
                server.initialize(processId=number)
                server.settle()
                time.sleep(1.5)
                self.assertIsNone(server.process.poll())
                client.send_signal(signal.SIGKILL)
                # Not yet waited for: it is a zombie, and counts as gone. The pipes are still open.
                self.assertEqual(server.end(10), 1)
                server.logged("process is gone")
        finally:
            client.kill()
            client.wait()
            if client.stderr:
                client.stderr.close()

    def test_a_process_that_is_no_more(self):
        client, number = start_bystander()
        client.kill()
        client.communicate()
        with Server() as server:
            server.request("initialize", {"processId": number, "rootUri": None, "capabilities": {}})
            self.assertEqual(server.end(10), 1)

    def test_output_that_nobody_reads_any_more(self):
        process = subprocess.Popen([*COMMAND, "serve"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        process.stdout.close()
        process.stdin.write(frame({"jsonrpc": "2.0", "id": 1, "method": "turnwright/nothing"}))
        process.stdin.flush()
        self.assertEqual(process.wait(10), 1)  # and not by a signal
        self.assertIn(b"cannot write to the client", process.stderr.read())
        process.stdin.close()
        process.stderr.close()


class Output(unittest.TestCase):
    def test_nothing_but_frames_on_standard_output_with_a_log_file(self):
        with tempfile.TemporaryDirectory() as folder:
            log = os.path.join(folder, "log.txt")
            with Server("--log", log) as server:
                server.initialize()
                server.change(URI, 1, {"text": ""})
                server.shut_down()
                self.assertEqual(server.end(), 0)
                self.assertEqual(server.log, [])
            with open(log, encoding="utf-8") as file:
                self.assertIn("not open", file.read())

    def test_a_log_file_that_cannot_be_written(self):
        done = subprocess.run([*COMMAND, "serve", "--log", "/nonexistent/folder/log"], capture_output=True, timeout=20, stdin=subprocess.DEVNULL)
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"/nonexistent/folder/log", done.stderr)
        self.assertEqual(done.stdout, b"")


def leaves(value, path=()):
    """Paths of all members and elements of a JSON value, inner ones too."""
    if path:
        yield path
    if isinstance(value, dict):
        for key in value:
            yield from leaves(value[key], path + (key,))
    elif isinstance(value, list):
        for index in range(len(value)):
            yield from leaves(value[index], path + (index,))


class Initialize(unittest.TestCase):
    def test_each_leaf_of_a_real_request_swapped_for_another_type(self):
        with open(os.path.join(HERE, "initialize_of_neovim.json"), encoding="utf-8") as file:
            request = json.load(file)
        substitutes = [None, True, 17, -1.5, "text", [], {}, [[{}]], {"turnwright": 5}]
        served = refused = 0
        # Every fifth pair in each run, all of them for whoever has the time.
        pairs = [(path, substitute) for path in leaves(request) for substitute in substitutes][::1 if THOROUGH else 5]
        for path, substitute in pairs:
            params = copy.deepcopy(request)
            at = params
            for key in path[:-1]:
                at = at[key]
            if at[path[-1]] == substitute or (path == ("processId",) and isinstance(substitute, int) and substitute is not True):
                continue  # another process to watch is no wrong type
            at[path[-1]] = substitute
            if path != ("processId",):
                params["processId"] = None
            with self.subTest(path=path, substitute=substitute), Server() as server:
                reply = server.answer(server.ask("initialize", params))
                if "error" in reply:
                    refused += 1
                    self.assertEqual(reply["error"]["code"], -32602)
                    self.assertIn("params", reply["error"]["message"])
                    continue
                served += 1
                server.notify("initialized", {})
                server.open(URI, "(OPEN\n")
                if "diagnosticProvider" not in reply["result"]["capabilities"]:
                    server.published(URI)
                server.shut_down()
                self.assertEqual(server.end(), 0)
        self.assertGreater(served, 1000 if THOROUGH else 200)
        self.assertGreater(refused, 20 if THOROUGH else 4)


if __name__ == "__main__":
    unittest.main()
