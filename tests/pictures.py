"""`make pictures`: the README's pictures, from the demo as it runs.

Loads the demo into a folder of its own, serves it, and takes the pictures with Debian's chromium.
"""

import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import cv2
from playwright.sync_api import Browser, FilePayload, Page, ViewportSize, sync_playwright

from tests.chromium import FLAGS, LAPTOP, PHONE
from tests.planning.splitting.sheets import sheet

ROOT = Path(__file__).resolve().parents[1]
PICTURES = ROOT / "fixtures" / "pictures"
TEACHER = ("ruth.achterberg", "seven-soft-coils")
BUILDING = ("amara.nwosu", "one-round-foot")
PLANNING = ("daniyar.akhmetov", "one-round-foot")
DRAWING = ("fionn.gallagher", "one-round-foot")
EXPLORING = ("cormac.daly", "one-round-foot")
PROJECT = "Something that grew"
ROWS = "Rows that show"
SHEET = 4, "ruled", 6
READ_MS = 300_000
"""The worker reads the demo's drawings first."""


def main() -> None:
    PICTURES.mkdir(exist_ok=True)
    path = shutil.which("chromium") or sys.exit("Install chromium first.")
    with (
        tempfile.TemporaryDirectory() as folder,
        _served(Path(folder)) as address,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        _take(browser, address)
        browser.close()


def _take(browser: Browser, address: str) -> None:
    teacher = _signed_in(browser, address, TEACHER, LAPTOP)
    teacher.goto(f"{address}/classes/")
    teacher.click(".rows a.title >> nth=0")
    _picture(teacher, "class")
    teacher.goto(f"{address}/plans/")
    teacher.click("a.button")
    _picture(teacher, "plan_review")
    teacher.goto(f"{address}/kilns/")
    teacher.click(".firing-start + a.title >> nth=0")
    teacher.click("main a:text-is('The load')")
    _picture(teacher, "load", full_page=False)
    teacher.goto(f"{address}/marking/")
    teacher.click("main td a >> nth=0")
    teacher.click("main th a >> nth=0")
    _picture(teacher, "marking", full_page=False)
    student = _signed_in(browser, address, BUILDING, PHONE)
    student.click(f"text={PROJECT}")
    _picture(student, "piece")
    student.click("main a:text-is('At the bench')")
    _picture(student, "bench", full_page=False)
    student = _signed_in(browser, address, PLANNING, PHONE)
    student.click(f"text={PROJECT}")
    student.goto(student.url + "plan/")
    _picture(student, "plan", full_page=False)
    student = _signed_in(browser, address, DRAWING, PHONE)
    student.click(f"text={PROJECT}")
    student.set_input_files("input[name=sheet]", _photo_of_a_sheet())
    student.click("text=Send the sheet")
    student.click("text=A sheet waits for you", timeout=READ_MS)
    _picture(student, "sheet", full_page=False)
    student = _signed_in(browser, address, EXPLORING, PHONE)
    student.click(f"text={ROWS}")
    student.click("text=Why, and what to draw next", timeout=READ_MS)
    _picture(student, "ideas", full_page=False)


def _photo_of_a_sheet() -> FilePayload:
    seed, paper, count = SHEET
    _, data = cv2.imencode(".jpg", sheet(seed, paper, count=count).picture)
    return FilePayload(name="sheet.jpg", mimeType="image/jpeg", buffer=data.tobytes())


def _picture(page: Page, name: str, *, full_page: bool = True) -> None:
    page.wait_for_load_state("networkidle")
    page.screenshot(path=PICTURES / f"{name}.png", full_page=full_page)


def _signed_in(browser: Browser, address: str, who: tuple[str, str], size: ViewportSize) -> Page:
    page = browser.new_context(viewport=size, reduced_motion="reduce").new_page()
    page.goto(f"{address}/sign-in/marrowby/")
    page.fill("[name=username]", who[0])
    page.fill("[name=password]", who[1])
    page.press("[name=password]", "Enter")
    page.wait_for_load_state()
    return page


@contextmanager
def _served(folder: Path) -> Iterator[str]:
    """The demo on a free port, until the pictures are taken."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    environment = os.environ | {
        "DATABASE_URL": f"sqlite:///{folder}/demo.sqlite3",
        "MEDIA_ROOT": f"{folder}/media",
    }
    manage = [sys.executable, str(ROOT / "manage.py")]
    for command in (["migrate", "--verbosity", "0"], ["demo"]):
        subprocess.run([*manage, *command], env=environment, check=True)
    serve = [*manage, "runserver", f"127.0.0.1:{port}", "--noreload", "--insecure"]
    with (
        subprocess.Popen([*manage, "work"], env=environment) as worker,
        subprocess.Popen(serve, env=environment, stderr=subprocess.DEVNULL) as server,
    ):
        try:
            address = f"http://127.0.0.1:{port}"
            _wait_for(address)
            yield address
        finally:
            server.terminate()
            worker.terminate()


def _wait_for(address: str, seconds: int = 30) -> None:
    for _ in range(seconds * 5):
        try:
            urllib.request.urlopen(f"{address}/sign-in/")  # noqa: S310 -- an address of our own
        except urllib.error.URLError:
            time.sleep(0.2)
        else:
            return
    raise SystemExit(f"nothing answers on {address}")


if __name__ == "__main__":
    main()
