"""A class looks on: with the code of the run, read only until the teacher allows more, one tab and no other."""

from __future__ import annotations

import json
import re
import time
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from serving import CLASSROOM, Served, fetched, socket_of, start, stop, until
from websockets.exceptions import ConnectionClosed, InvalidStatus

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.views.page.run import network_address
from shellcheck_earth.views.page.share import LETTERS, MOST_WRONG, Share, new_code


@dataclass(frozen=True)
class Class:
    """A shared page, the address in the network and the code."""

    served: Served
    host: str
    code: str

    def get(self, path: str, **headers: str) -> tuple[int, dict[str, str], bytes]:
        """From the network, as a phone asks."""
        return fetched(self.served, path, host=self.host, **headers)

    def join(self) -> str:
        """The cookie of a new guest."""
        status, headers, _ = self.get(f"/?code={self.code}")
        assert status == 303
        return headers["set-cookie"].partition(";")[0]

    def line(self, cookie: str) -> Any:
        """A guest's socket."""
        return socket_of(self.served, self.host, Cookie=cookie)

    def teacher(self) -> Any:
        """A tab of the teacher."""
        return socket_of(self.served)


@pytest.fixture(scope="module")
def shared() -> Iterator[Class]:
    try:
        host = network_address()
    except InputError:
        pytest.skip("this machine is in no network")
    served = start(str(CLASSROOM), "--share")
    assert served.process.stdout is not None
    line = served.process.stdout.readline()
    code = re.search(r"type the code ([A-Z0-9-]+)\.", line)
    assert code, line
    yield Class(served, host, code[1])
    assert stop(served) == 0


def friction(value: float, number: int = 1) -> str:
    return json.dumps({"do": "move", "path": "beds.friction", "value": value, "n": number})


def seen(line: Any, value: float) -> list[float]:
    """Wait for a picture with that friction; the frictions of the pictures before it."""
    before: list[float] = []
    while (now := until(line, "drawn")["values"]["beds.friction"]) != value:
        before.append(now)
    return before


def test_without_the_code_there_is_nothing(shared: Class) -> None:
    status, headers, body = shared.get("/")
    assert status == 200 and b'name="code"' in body and b"<main>" in body and b"Garden" not in body
    assert "frame-ancestors 'none'" in headers["content-security-policy"]
    assert shared.get("/?code=AAAA-AAAA")[0] == 403
    teacher = {"Cookie": shared.served.cookie}
    for path in ("/words.json", "/design/x", "/result/x/report.pdf"):
        assert shared.get(path)[0] in (403, 404)
        assert shared.get(path, **teacher)[0] in (403, 404)  # the teacher's key is good on the teacher's machine alone
    assert b'name="code"' in shared.get(f"/?key={shared.served.key}")[2]
    assert shared.get("/", Host=f"127.0.0.1:{shared.served.port}")[0] == 403
    for cookie in ("", "shellcheck-earth-guest=1", shared.served.cookie):
        with pytest.raises((InvalidStatus, ConnectionClosed)), shared.line(cookie) as line:
            line.recv(timeout=5)


def test_guests_look_on_and_change_nothing_until_they_may(shared: Class) -> None:
    cookie = shared.join()
    status, _, body = shared.get("/words.json", Cookie=cookie)
    data = json.loads(body)
    assert status == 200 and data["guest"] is True and data["share"] is None
    with shared.teacher() as teacher:
        tab = until(teacher, "tab")["tab"]
        teacher.send('{"do": "hello", "n": 1}')
        until(teacher, "drawn")
        assert shared.get(f"/design/{tab}", Cookie=cookie)[0] == 404
        with shared.line(cookie) as guest:
            until(teacher, "class", guests=1, allowed=False, leads=True)
            seen(guest, 0.55)
            teacher.send(friction(0.6, 2))
            seen(guest, 0.6)
            guest.send(friction(0.9))
            time.sleep(0.4)
            teacher.send('{"do": "hello", "n": 3}')
            assert until(teacher, "drawn", n=3)["values"]["beds.friction"] == 0.6  # not the guest's own 0.9
            teacher.send(friction(0.61, 4))
            assert 0.9 not in seen(guest, 0.61)
            teacher.send('{"do": "allow", "allowed": true, "n": 4}')
            until(guest, "allowed", allowed=True)
            guest.send(friction(0.7))
            seen(guest, 0.7)
            seen(teacher, 0.7)
            guest.send('{"do": "check"}')
            with pytest.raises(ConnectionClosed):
                until(guest, "never")
        until(teacher, "class", guests=0)


def typed(course: int, text: str) -> str:
    return json.dumps({"do": "sheet", "changes": [["course", course, "top", text]]})


def top_of(line: Any, course: int, text: str) -> None:
    """Wait until the sheet says that."""
    said = None
    while said != text:
        said = next(row["cells"].get("top") for row in until(line, "sheet")["courses"] if row["number"] == course)


def test_guests_see_the_sheet_and_fill_it_in_only_where_they_may(shared: Class) -> None:
    with shared.teacher() as teacher, shared.line(shared.join()) as guest:
        until(teacher, "tab")
        teacher.send('{"do": "lead", "n": 1}')
        teacher.send('{"do": "allow", "allowed": false, "n": 2}')
        until(guest, "allowed", allowed=False)
        teacher.send(typed(1, "135"))
        top_of(guest, 1, "135")
        guest.send(typed(1, "999"))
        guest.send('{"do": "survey", "changes": []}')
        time.sleep(0.4)
        teacher.send(typed(2, "270"))
        seen_by_all = until(teacher, "sheet")
        cells = {row["number"]: row["cells"] for row in seen_by_all["courses"]}
        assert cells[1]["top"] == "135" and not seen_by_all["asked"]
        teacher.send('{"do": "allow", "allowed": true, "n": 4}')
        until(guest, "allowed", allowed=True)
        guest.send(typed(3, "405"))
        top_of(teacher, 3, "405")
        guest.send('{"do": "survey", "changes": []}')
        assert until(guest, "sheet", asked=True)["faults"]  # there are readings missing: said, and nothing started
        guest.send(json.dumps({"do": "readings", "name": "a.csv", "text": ""}))
        with pytest.raises(ConnectionClosed):
            until(guest, "never")


def test_another_tab_of_the_teacher_is_unseen_until_it_leads(shared: Class) -> None:
    with shared.teacher() as first, shared.teacher() as second, shared.line(shared.join()) as guest:
        for tab in (first, second):
            until(tab, "tab")
            tab.send('{"do": "hello", "n": 1}')
            until(tab, "drawn")
        second.send(friction(0.81, 2))
        seen(second, 0.81)
        time.sleep(0.4)  # long enough for a guest to be sent it
        first.send(friction(0.51, 2))
        assert 0.81 not in seen(guest, 0.51)
        second.send('{"do": "lead", "n": 3}')
        seen(guest, 0.81)
        first.send(friction(0.52, 3))
        seen(first, 0.52)
        time.sleep(0.4)
        second.send(friction(0.82, 4))
        assert 0.52 not in seen(guest, 0.82)


def test_a_phone_that_does_not_read_holds_up_nobody(shared: Class) -> None:
    with shared.teacher() as teacher, shared.line(shared.join()):
        until(teacher, "tab")
        for number in range(1, 61):
            teacher.send(friction(round(0.5 + number / 1000, 3), number))
            while until(teacher, "drawn")["n"] < number:
                pass


def test_a_phone_in_a_real_browser(shared: Class, browser: Any) -> None:
    faults: list[str] = []
    teacher = browser.new_page(viewport={"width": 1280, "height": 900})
    phone = browser.new_context(viewport={"width": 390, "height": 844}, is_mobile=True, has_touch=True).new_page()
    for page in (teacher, phone):
        page.set_default_timeout(15_000)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("console", lambda line: faults.append(line.text) if line.type == "error" else None)
    teacher.goto(shared.served.address)
    teacher.wait_for_selector("#class-leads:has-text('sees this tab')")
    assert teacher.inner_text("#class-code") == shared.code and teacher.locator("#class-qr svg").count() == 1
    teacher.uncheck("#class-allow")  # whatever was allowed before
    phone.goto(f"http://{shared.host}:{shared.served.port}/")
    phone.fill("#code", shared.code.lower().replace("-", " "))
    phone.click("button")
    phone.wait_for_selector("#figure svg")
    phone.wait_for_selector("#guest:has-text('You look on')")
    teacher.wait_for_selector("#class-guests:text-is('1')")
    hidden = ("#settings", "#whole", "#run", "#undo", "#lesson", "#map", "#class")
    assert not [one for one in hidden if phone.is_visible(one)]
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    teacher.locator("#beds-friction").fill("0.2")
    phone.wait_for_selector("#lost:not([hidden])")
    teacher.check("#class-allow")
    phone.wait_for_selector("#settings")
    phone.locator("#beds-friction").fill("0.6")
    teacher.wait_for_selector("#lost[hidden]", state="attached")
    assert not faults
    phone.context.close()
    teacher.close()


def test_the_end_of_the_sharing_is_the_end_for_all_guests(shared: Class) -> None:
    cookie = shared.join()
    with shared.teacher() as teacher, shared.line(cookie) as guest:
        until(teacher, "tab")
        until(guest, "tab")
        teacher.send('{"do": "end", "n": 1}')
        until(teacher, "class", ended=True)
        with pytest.raises(ConnectionClosed):
            until(guest, "never")
    assert shared.get(f"/?code={shared.code}")[0] == 403 and shared.get("/", Cookie=cookie)[0] == 403


def test_without_share_nobody_joins(served: Served) -> None:
    assert fetched(served, "/?code=AAAA-AAAA")[0] == 403


def test_wrong_codes_are_looked_at_only_so_often() -> None:
    share = Share("192.0.2.9", 8000)
    assert share.enter(share.code.lower()) and share.enter(share.code.replace("-", ""))
    for _ in range(MOST_WRONG):
        assert share.enter("AAAA-AAAA") == "" and share.enter("") == ""
    assert share.enter(share.code) == ""  # even the right one, for the rest of the minute
    assert not share.knows("") and not share.knows("guess")


def test_codes_are_made_by_chance_and_end_with_the_sharing() -> None:
    codes = {new_code() for _ in range(200)}
    assert len(codes) == 200 and all(set(code) <= set(LETTERS) | {"-"} for code in codes)
    share = Share("192.0.2.9", 8000)
    key = share.enter(share.code)
    assert share.knows(key)
    share.end()
    assert not share.knows(key) and share.enter(share.code) == ""


def test_the_qr_code_says_the_address() -> None:
    import segno

    share = Share("192.0.2.9", 8000)
    assert share.address == f"http://192.0.2.9:8000/?code={share.code}"
    modules = sum(row.count(1) for row in segno.make(share.address, error="m").matrix)
    assert modules > 200 and share.picture().startswith("<svg") and "<script" not in share.picture()
