"""The server as a program of its own: started, asked, stopped, killed; what it prints and what it leaves behind."""

import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from blockwright.bench.server import LOOPBACK, Listening, check_port
from blockwright.problems import BlockwrightError

WITHIN_S = 30.0
Start = Callable[..., "Bench"]


class Bench:
    """A bench that was started as a user starts it."""

    def __init__(self, data: Path, port: int, *words: str) -> None:
        self.port = port
        kept = {name: value for name, value in os.environ.items() if not name.startswith(("BLOCKWRIGHT", "DJANGO"))}
        code = "from blockwright.cli.main import main; main()"
        asked = [sys.executable, "-c", code, "bench", "--data", str(data), "--port", str(port), "--no-open", *words]
        self.program = subprocess.Popen(
            asked, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=kept, start_new_session=True
        )

    def said(self) -> str:
        """The first line, which it prints when it answers."""
        assert self.program.stdout is not None
        return self.program.stdout.readline()

    def asked(self, path: str) -> tuple[int, str]:
        with urllib.request.urlopen(f"http://{LOOPBACK}:{self.port}{path}", timeout=5) as answer:
            return answer.status, answer.read().decode()

    def ended(self) -> tuple[int, str, str]:
        out, err = self.program.communicate(timeout=WITHIN_S)
        return self.program.returncode, out, err


def free_port() -> int:
    with socket.socket() as held:
        held.bind((LOOPBACK, 0))
        return int(held.getsockname()[1])


def listens(port: int) -> bool:
    with socket.socket() as tried:
        tried.settimeout(1)
        return tried.connect_ex((LOOPBACK, port)) == 0


def wait_until(true: Callable[[], bool], seconds: float = WITHIN_S) -> bool:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if true():
            return True
        time.sleep(0.05)
    return False


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Start]:
    started: list[Bench] = []

    def begin(*words: str, port: int = 0) -> Bench:
        started.append(Bench(tmp_path / "data", port or free_port(), *words))
        return started[-1]

    yield begin
    for each in started:
        if each.program.poll() is None:
            each.program.kill()
        each.program.communicate()


@pytest.mark.slow
def test_it_says_where_it_is_and_answers_there(start: Start) -> None:
    bench = start()
    assert bench.said() == f"The bench is open at http://127.0.0.1:{bench.port}/ (Ctrl-C closes it).\n"
    assert bench.asked("/healthz") == (200, "alive\n")
    assert bench.asked("/readyz") == (200, "ready\n")
    assert "No engine is on this bench yet." in bench.asked("/")[1]


@pytest.mark.slow
@pytest.mark.parametrize("sign", [signal.SIGTERM, signal.SIGINT])
def test_it_stops_in_order_when_told(start: Start, sign: signal.Signals) -> None:
    bench = start()
    bench.said()
    bench.program.send_signal(sign)
    code, _, err = bench.ended()
    assert (code, "Traceback" in err) == (0, False)
    assert not listens(bench.port)


@pytest.mark.slow
def test_ctrl_c_that_reaches_every_process_stops_it_in_order(start: Start) -> None:
    bench = start()
    bench.said()
    os.killpg(bench.program.pid, signal.SIGINT)
    code, _, err = bench.ended()
    assert (code, "Traceback" in err) == (0, False)


@pytest.mark.slow
def test_a_killed_bench_leaves_nothing_at_its_port(start: Start) -> None:
    bench = start()
    bench.said()
    bench.program.kill()
    bench.program.wait(WITHIN_S)
    assert wait_until(lambda: not listens(bench.port), 5.0)
    again = start(port=bench.port)
    assert "The bench is open" in again.said()


@pytest.mark.slow
def test_a_port_that_is_taken_is_told_in_words(start: Start) -> None:
    with socket.socket() as held:
        held.bind((LOOPBACK, 0))
        held.listen()
        port = held.getsockname()[1]
        code, out, err = start(port=port).ended()
    assert (code, out) == (2, "")
    assert f"port {port} of 127.0.0.1 is taken" in " ".join(err.split())
    assert "Traceback" not in err


@pytest.mark.slow
@pytest.mark.parametrize("said", [("--name", "bench.local"), ("--certificate", "own.crt"), ("--key", "own.key")])
def test_what_only_the_shop_heeds_is_not_passed_over(start: Start, said: tuple[str, str]) -> None:
    code, out, err = start(*said).ended()
    assert (code, out) == (2, "")
    assert f"Say --shop, too, or leave {said[0]} out." in " ".join(err.split())


@pytest.mark.slow
def test_what_it_logs_is_json_without_what_was_typed(start: Start) -> None:
    bench = start("--log", "info")
    bench.said()
    bench.asked("/?name=A.+Hand")
    request = urllib.request.Request(f"http://{LOOPBACK}:{bench.port}/e/Secretslug22/")
    with pytest.raises(urllib.error.HTTPError):
        urllib.request.urlopen(request, timeout=5)
    bench.program.terminate()
    _, _, err = bench.ended()
    lines = [json.loads(line) for line in err.splitlines()]
    assert [(line["route"], line["status"]) for line in lines] == [("home", 200), ("engine", 404)]
    assert not any(word in err for word in ("Secretslug22", "Hand", "127.0.0.1"))


def test_a_free_port_is_left_free() -> None:
    port = free_port()
    check_port(Listening(port=port))
    assert not listens(port)


def test_a_taken_port_is_refused_before_anything_is_made() -> None:
    with socket.socket() as held:
        held.bind((LOOPBACK, 0))
        held.listen()
        with pytest.raises(BlockwrightError, match="is taken"):
            check_port(Listening(port=held.getsockname()[1]))


@pytest.mark.parametrize(
    ("listening", "address"),
    [
        (Listening(), "http://127.0.0.1:8471/"),
        (Listening(port=80), "http://127.0.0.1/"),
        (Listening("0.0.0.0", 443, Path("c"), Path("k"), "bench.local"), "https://bench.local/"),
        (Listening("0.0.0.0", 8471, Path("c"), Path("k"), "bench.local"), "https://bench.local:8471/"),
    ],
)
def test_the_address_is_the_one_to_open(listening: Listening, address: str) -> None:
    assert listening.address == address


@pytest.mark.skipif(sys.platform != "linux", reason="looks where Linux tells what a process does with a signal")
def test_a_client_that_goes_away_does_not_end_it(start: Start) -> None:
    """The command line lets a broken pipe end its process; the bench and its worker must not."""
    bench = start()
    assert bench.said()
    children = Path(f"/proc/{bench.program.pid}/task/{bench.program.pid}/children").read_text(encoding="ascii").split()
    assert children
    for process in (bench.program.pid, *children):
        status = Path(f"/proc/{process}/status").read_text(encoding="ascii")
        ignored = int(next(line for line in status.splitlines() if line.startswith("SigIgn")).split()[1], 16)
        assert ignored >> (signal.SIGPIPE - 1) & 1, process
