"""What other work is measured by, in the same run: how long the server works for a plain, right program. A bound in
seconds would tell how fast the machine is, and what else it does."""
import functools
import os
import time

from driver import AT_ONCE, Server

PATIENCE = 120
# More of each sort, for whoever has the time: set by hand, see docs/trust.md.
THOROUGH = "TURNWRIGHT_THOROUGH" in os.environ
LINE = "N100 G01 X40.123 Z-12.345 F0.2\n"
BYTES = 5_000_000
PLAIN = "O1\nG21 G99 G97 S500 M03\nT0101\n" + LINE * (BYTES // len(LINE)) + "M30\n"
URI = "file:///shop/plain.nc"


def cpu_seconds(server):
    """Of the processor: what else the machine does must not count."""
    with open(f"/proc/{server.process.pid}/stat", encoding="ascii") as file:
        fields = file.read().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def settle(server):
    """Until everything sent so far is handled."""
    server.wait_for(lambda m, i=server.ask("turnwright/nothing"): "method" not in m and m.get("id") == i, PATIENCE)


def seconds_of(server, act):
    """Of work, from before `act` until what it asked for is handled."""
    begin = cpu_seconds(server)
    act()
    settle(server)
    return cpu_seconds(server) - begin


def rest(server):
    """Until the server has nothing left to do, also of what nobody waits for."""
    asleep = 0
    while asleep < 20:
        time.sleep(0.02)
        with open(f"/proc/{server.process.pid}/stat", encoding="ascii") as file:
            asleep = asleep + 1 if file.read().rsplit(")", 1)[1].split()[0] == "S" else 0


def seconds_until_end(server):
    """Of work from now on: the server is to end by itself."""
    begin = cpu_seconds(server)
    _, status, used = os.wait4(server.process.pid, 0)
    server.process.returncode = os.waitstatus_to_exitcode(status)
    return used.ru_utime + used.ru_stime - begin


def open_program(server, uri, text):
    server.open(uri, text)
    server.published(uri, 1, PATIENCE)
    rest(server)  # of a long program the first part is told before the rest is looked at


@functools.cache
def plain_seconds():
    """Opening five megabytes of a program as it should be, 160,000 blocks: the server's own work."""
    with Server() as server:
        server.initialize(initializationOptions=AT_ONCE)
        return seconds_of(server, lambda: open_program(server, URI, PLAIN))
