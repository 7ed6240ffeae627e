"""The workbench's server by itself: start, one size changed until the scene is there, memory with ten listeners.

The hut trailer, through real HTTP on this machine. Then in Chromium, where it is installed: first page until its
picture stands, one size changed until it is drawn anew (no graphics card), what the browser takes when nothing happens.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
from collections.abc import Callable
from http.client import HTTPConnection
from pathlib import Path

from websockets.sync.client import connect

ROOT = Path(__file__).parents[1]
FLAGS = ("--headless", "--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader")
DRAWN = "n => Number(document.querySelector('#viewer')?.dataset.drawn) > n"
REDRAWS = 9
TABS = 10
CHANGES = 21
PORT = 8437
HERE = f"http://127.0.0.1:{PORT}"


def started(root: Path) -> tuple[subprocess.Popen[bytes], float]:
    """Start the program; return it and the seconds until it answered."""
    arguments = [sys.executable, "-m", "handbarrow.cli", "workbench", str(root), "--port", str(PORT), "--no-open"]
    begun = time.perf_counter()
    process = subprocess.Popen(arguments, stdout=subprocess.DEVNULL)
    while True:
        try:
            with urllib.request.urlopen(f"{HERE}/api/p/hut/state") as answer:
                answer.read()
            return process, time.perf_counter() - begun
        except OSError:
            time.sleep(0.01)


def memory_mb(process: subprocess.Popen[bytes]) -> float:
    """Resident memory of a process."""
    text = Path(f"/proc/{process.pid}/status").read_text()
    return float(re.findall(r"VmRSS:\s+(\d+)", text)[0]) / 1024


def processor_s(process: subprocess.Popen[bytes]) -> float:
    """Processor time of a process so far [s]."""
    fields = Path(f"/proc/{process.pid}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


class Page:
    """One tab: its connection, its cookie and its token."""

    def __init__(self) -> None:
        self.line = HTTPConnection("127.0.0.1", PORT)
        self.headers = {"origin": HERE, "content-type": "application/json"}
        text = self.ask("GET", "/p/hut/", None)
        found = re.search(rb'name="token" content="(\w+)"', text)
        assert found is not None
        self.headers["x-handbarrow-token"] = found[1].decode()

    def ask(self, method: str, path: str, content: object) -> bytes:
        """Ask and return the answer."""
        self.line.request(method, path, json.dumps(content) if content is not None else None, self.headers)
        answer = self.line.getresponse()
        cookies = answer.headers.get_all("set-cookie") or []
        if cookies:
            self.headers["cookie"] = "; ".join(cookie.split(";")[0] for cookie in cookies)
        text = answer.read()
        assert answer.status == 200, text
        return text


def change(page: Page, number: int, width: int, *, differences: bool) -> tuple[int, float, float]:
    """Change the bed's width; return the new state, seconds until the answer, and until the scene was there."""
    begun = time.perf_counter()
    order = {"base": number, "name": "bed_width", "text": str(width), "differences": differences}
    told = json.loads(page.ask("POST", "/api/p/hut/size", order))
    answered = time.perf_counter() - begun
    page.ask("GET", "/api/p/hut/scene.glb", None)
    return told["state"]["number"], answered, time.perf_counter() - begun


def listen(leave: threading.Event) -> None:
    """One tab that only listens."""
    with connect(f"ws://127.0.0.1:{PORT}/ws/p/hut", origin=HERE) as socket:  # type: ignore[arg-type]
        while not leave.is_set():
            try:
                socket.recv(timeout=0.5)
            except TimeoutError:
                continue


def run() -> None:
    """Measure, and print what was found."""
    with tempfile.TemporaryDirectory() as place:
        root = Path(place)
        (root / "hut").mkdir()
        shutil.copy(ROOT / "examples/hut-trailer.yaml", root / "hut")
        shutil.copy(ROOT / "examples/ridge-workshop.yaml", root / "hut")
        process, first = started(root)
        try:
            _measure(process, first)
        finally:
            process.terminate()
            process.wait()


def _measure(process: subprocess.Popen[bytes], first: float) -> None:
    print(f"workbench: start to the first answer {first:.2f} s, memory then {memory_mb(process):.0f} MB")
    page = Page()
    number = json.loads(page.ask("GET", "/api/p/hut/state", None))["number"]
    for differences in (True, False):
        rows = []
        for step in range(CHANGES):
            number, *row = change(page, number, 561 + step + 30 * differences, differences=differences)
            rows.append(row)
        answer, scene = (1000 * statistics.median(column) for column in zip(*rows, strict=True))
        words = "with differences" if differences else "without differences"
        print(f"  a size changed ({words}): answer {answer:.0f} ms, scene after {scene:.0f} ms (median of {CHANGES})")
    leave = threading.Event()
    target: Callable[[threading.Event], None] = listen
    tabs = [threading.Thread(target=target, args=(leave,)) for _ in range(TABS)]
    for tab in tabs:
        tab.start()
    time.sleep(1.0)
    before, begun = processor_s(process), time.perf_counter()
    time.sleep(10.0)
    idle = (processor_s(process) - before) / (time.perf_counter() - begun)
    print(f"  with {TABS} listeners: memory {memory_mb(process):.0f} MB, idle {100 * idle:.1f} % of a core")
    leave.set()
    for tab in tabs:
        tab.join()
    _in_browser()


def _in_browser() -> None:
    """Measure what a person sees."""
    from playwright.sync_api import sync_playwright

    program = shutil.which("chromium")
    if program is None:
        print("  Chromium is not installed: what a browser takes is not measured")
        return
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=FLAGS)
        page = browser.new_page(viewport={"width": 1366, "height": 900})
        begun = time.perf_counter()
        page.goto(f"{HERE}/p/hut/", wait_until="commit")
        page.wait_for_selector("html[data-ready]")
        usable = time.perf_counter() - begun
        page.wait_for_function(DRAWN, arg=0)
        pictured = time.perf_counter() - begun
        print(f"  first page in a fresh browser: usable after {usable:.2f} s, picture after {pictured:.2f} s")
        rows = []
        field = page.locator("[data-size=bed_width] input[name=text]")
        for step in range(REDRAWS):
            number = int(page.get_attribute("#viewer", "data-drawn") or 0)
            field.fill(str(620 + step))
            begun = time.perf_counter()
            field.press("Enter")
            page.wait_for_function(DRAWN, arg=number)
            rows.append(1000 * (time.perf_counter() - begun))
            time.sleep(0.9)
        drawn = statistics.median(rows)
        print(f"  a size changed until it is drawn and has moved there: {drawn:.0f} ms (median of {REDRAWS})")
        time.sleep(20.0)  # price and checks of the last change
        before, begun = _browser_s(), time.perf_counter()
        time.sleep(10.0)
        idle = (_browser_s() - before) / (time.perf_counter() - begun)
        print(f"  idle browser, all its processes: {100 * idle:.1f} % of a core")
        browser.close()


def _browser_s() -> float:
    """Processor time of the browser that this program started and of all that it started [s]."""
    total, ours = 0.0, {os.getpid()}
    rows = []
    for place in Path("/proc").glob("[0-9]*/stat"):
        try:
            name, fields = place.read_text().rsplit(")", 1)
        except OSError:
            continue  # it has ended
        rows.append((int(place.parent.name), int(fields.split()[1]), fields.split(), "chrom" in name))
    for _ in rows:
        more = {pid for pid, above, _, _ in rows if above in ours} - ours
        if not more:
            break
        ours |= more
    for pid, _, fields, is_browser in rows:
        if pid in ours and is_browser:
            total += int(fields[11]) + int(fields[12])
    return total / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    run()
