"""Hostile requests against the page as it is served: each refused, with the headers of every other answer."""

from __future__ import annotations

import json
import socket
import subprocess
import sys

import pytest
from serving import CLASSROOM, ROOT, Served, fetched, socket_of, until
from websockets.exceptions import ConnectionClosed, InvalidStatus

from shellcheck_earth.views.page.security import HEADERS, LARGEST_MESSAGE, Door, cookie_of, one_header


def ask(served: Served, path: str, method: str = "GET", **headers: str) -> tuple[int, dict[str, str], bytes]:
    """One request with this run's cookie, unless other headers are given."""
    return fetched(served, path, method, **({"Cookie": served.cookie} | headers))


def test_the_page_of_this_run_is_answered(served: Served) -> None:
    status, headers, body = ask(served, "/")
    assert status == 200 and b"<main>" in body and b"{{" not in body
    assert {name.lower(): value for name, value in HEADERS.items()}.items() <= headers.items()
    assert "server" not in headers


def test_the_key_becomes_a_cookie_that_scripts_cannot_read(served: Served) -> None:
    status, headers, _ = ask(served, f"/?key={served.key}", Cookie="none=1")
    assert (status, headers["location"]) == (303, "/")
    assert "HttpOnly" in headers["set-cookie"] and "samesite=strict" in headers["set-cookie"].lower()


REFUSED = {
    "no cookie": ("/", {"Cookie": "none=1"}, 403),
    "a wrong key": ("/?key=wrong", {"Cookie": "none=1"}, 403),
    "a wrong cookie": ("/words.json", {"Cookie": "shellcheck-earth-1=x"}, 403),
    "another name for this machine": ("/", {"Host": "evil.example"}, 403),
    "another port": ("/", {"Host": "127.0.0.1:1"}, 403),
    "no host": ("/", {"Host": ""}, 403),
    "another origin": ("/", {"Origin": "http://evil.example"}, 403),
    "a null origin": ("/", {"Origin": "null"}, 403),
    "a link on another page": ("/", {"Sec_Fetch_Site": "cross-site"}, 403),
    "another port of this machine": ("/", {"Sec_Fetch_Site": "same-site"}, 403),
    "a long address": ("/?x=" + "a" * 1000, {}, 403),
    "a folder above": ("/static/../security.py", {}, 404),
    "a folder above, written out": ("/static/%2e%2e%2fsecurity.py", {}, 404),
    "a folder above, twice written out": ("/static/%252e%252e%252fsecurity.py", {}, 404),
    "a backslash": ("/static/..%5csecurity.py", {}, 404),
    "a file of the system": ("/static//etc/passwd", {}, 404),
    "a design of the system": ("/design/%2fetc%2fpasswd", {}, 404),
    "the design beside": ("/design.toml", {}, 404),
    "a result of nobody": ("/result/x/report.pdf", {}, 404),
    "a sheet of nobody": ("/sheet/x", {}, 404),
    "a sheet above": ("/sheet/%2e%2e%2fplan", {}, 404),
    "an answer of nobody": ("/survey/x/survey.pdf", {}, 404),
    "the page before its words": ("/static/index.html", {}, 404),
    "a zero in a name": ("/static/app.js%00.css", {}, 404),
    "what is not there": ("/admin", {}, 404),
}


@pytest.mark.parametrize("why", REFUSED)
def test_hostile_requests_are_refused(served: Served, why: str) -> None:
    path, headers, status = REFUSED[why]
    found, said, body = ask(served, path, **headers)
    assert found == status, body
    assert b"root:" not in body and b"Traceback" not in body
    assert said["content-security-policy"] == HEADERS["Content-Security-Policy"]


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE"])
def test_nothing_but_get_is_answered(served: Served, method: str) -> None:
    status, headers, _ = ask(served, "/", method)
    assert status == 405 and "access-control-allow-origin" not in headers


def test_two_hosts_in_one_request_are_refused(served: Served) -> None:
    with socket.create_connection(("127.0.0.1", served.port), timeout=10) as raw:
        raw.sendall(f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\nHost: evil.example\r\n\r\n".encode())
        assert b" 400 " in raw.recv(200) or b" 403 " in raw.recv(200)


def test_an_endless_header_ends_the_connection(served: Served) -> None:
    with socket.create_connection(("127.0.0.1", served.port), timeout=10) as raw:
        raw.sendall(b"GET / HTTP/1.1\r\nX: " + b"a" * 200_000)
        assert b" 400 " in raw.recv(200)
    assert ask(served, "/")[0] == 200


def test_it_listens_on_this_machine_alone(served: Served) -> None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # sends nothing: asks which address would be used
        own = probe.getsockname()[0]
    if own.startswith("127."):
        pytest.skip("this machine has no address but its own")
    with pytest.raises(OSError):
        socket.create_connection((own, served.port), timeout=3)


@pytest.mark.parametrize(
    "changed",
    [
        {"Cookie": ""},
        {"Cookie": "shellcheck-earth-1=guess"},
        {"Origin": ""},
        {"Origin": "null"},
        {"Origin": "http://evil.example"},
        {"Origin": "http://127.0.0.1:1"},
        {"Origin": "https://127.0.0.1"},
        {"Host": "evil.example"},
    ],
    ids=str,
)
def test_sockets_of_others_are_refused(served: Served, changed: dict[str, str]) -> None:
    with pytest.raises((InvalidStatus, ConnectionClosed)), socket_of(served, **changed) as line:
        line.recv(timeout=10)


@pytest.mark.parametrize(
    "raw", ["{", '{"do": "take"}', '{"do": "move", "path": "beds.friction", "value": []}', b"\x00\x01", "x" * 9000]
)
def test_a_message_that_no_page_sends_ends_the_connection(served: Served, raw: str | bytes) -> None:
    with socket_of(served) as line:
        until(line, "tab")
        line.send(raw)
        with pytest.raises(ConnectionClosed):
            until(line, "never")
    assert ask(served, "/")[0] == 200


def test_a_message_past_the_limit_ends_the_connection(served: Served) -> None:
    with socket_of(served) as line:
        until(line, "tab")
        with pytest.raises(ConnectionClosed) as ended:
            line.send("x" * (LARGEST_MESSAGE + 1))
            until(line, "never")
        assert ended.value.rcvd is None or ended.value.rcvd.code == 1009


def test_a_flood_ends_the_connection_and_no_other(served: Served) -> None:
    with socket_of(served) as calm, socket_of(served) as flood:
        until(calm, "tab")
        until(flood, "tab")
        with pytest.raises(ConnectionClosed):
            for number in range(20_000):
                flood.send('{"do": "undo"}' if number % 2 else '{"do": "redo"}')
            until(flood, "never")
        calm.send('{"do": "hello", "n": 1}')
        assert until(calm, "drawn", 1)["title"] == "Garden classroom"


def move(value: float, number: int) -> str:
    return json.dumps({"do": "move", "path": "beds.friction", "value": value, "n": number})


def test_a_burst_of_moves_loses_none_of_the_last_state(served: Served) -> None:
    with socket_of(served) as line:
        until(line, "tab")
        pictures = 0
        for number in range(1, 401):
            line.send(move(round(0.5 + number / 1000, 3), number))
        while (message := until(line, "drawn"))["n"] < 400:
            pictures += 1
        assert message["values"]["beds.friction"] == 0.9
        assert pictures < 200  # what was superseded was not drawn


def test_one_tab_sees_nothing_of_another(served: Served) -> None:
    with socket_of(served) as one:
        name = until(one, "tab")["tab"]
        one.send(move(0.91, 1))
        assert until(one, "drawn", 1)["values"]["beds.friction"] == 0.91
        with socket_of(served, tab=name) as other:  # even with its name, while it is open
            assert until(other, "tab")["tab"] != name
            other.send('{"do": "hello", "n": 1}')
            assert until(other, "drawn", 1)["values"]["beds.friction"] == 0.55
        status, _, body = ask(served, f"/design/{name}")
        assert status == 200 and body == CLASSROOM.read_bytes()  # a drag is not yet a change of the file
        assert ask(served, f"/design/{name}", Cookie="none=1")[0] == 404


def typed(course: int, key: str, text: str, number: int) -> str:
    return json.dumps({"do": "sheet", "changes": [["course", course, key, text]], "n": number})


def test_the_readings_of_one_tab_are_unseen_by_another(served: Served) -> None:
    with socket_of(served) as one, socket_of(served) as other:
        name = until(one, "tab")["tab"]
        until(other, "tab")
        one.send(typed(1, "top", "137", 1))
        until(one, "sheet", 1)
        other.send(typed(2, "top", "271", 1))
        cells = {row["number"]: row["cells"] for row in until(other, "sheet", 1)["courses"]}
        assert cells[1] == {} and cells[2] == {"top": "271"}
        status, headers, body = ask(served, f"/sheet/{name}")
        assert status == 200 and b",137," in body and b",271," not in body
        assert headers["content-disposition"] == 'attachment; filename="readings.csv"'
        assert ask(served, f"/sheet/{name}", Cookie="none=1")[0] == 404
        assert ask(served, f"/survey/{name}/survey.pdf")[0] == 404  # nothing was answered yet


def test_hostile_readings_are_refused_in_a_sentence_or_end_the_connection(served: Served) -> None:
    rows = "survey on,2026-05-07\ncourse,top (mm)\n" + "1,2\n" * 100_000
    with socket_of(served) as line:
        until(line, "tab")
        line.send(json.dumps({"do": "readings", "name": "many.csv", "text": rows, "n": 1}))
        assert "at most 2000 lines" in until(line, "refused")["message"]
        line.send(typed(1, "top", "9" * 60, 2))
        assert [one["row"] for one in until(line, "sheet", 2)["faults"]] == ["course 1"]
        line.send(typed(1, "top", "1\x00", 3))
        with pytest.raises(ConnectionClosed):
            until(line, "never")
    for hostile in (typed(1, "top", "x" * 9000, 1), '{"do": "survey", "changes": [["course", "1", "top", 2]]}'):
        with socket_of(served) as line:
            until(line, "tab")
            line.send(hostile)
            with pytest.raises(ConnectionClosed):
                until(line, "never")
    assert ask(served, "/")[0] == 200


def test_a_reload_finds_its_tab_again(served: Served) -> None:
    with socket_of(served) as one:
        name = until(one, "tab")["tab"]
        one.send(json.dumps({"do": "set", "path": "beds.friction", "value": 0.6, "measured": False, "n": 1}))
        until(one, "drawn", 1)
    with socket_of(served, tab=name) as again:
        assert until(again, "tab")["tab"] == name
        again.send('{"do": "hello", "n": 1}')
        assert until(again, "drawn", 1)["values"]["beds.friction"] == 0.6


def test_a_taken_port_and_an_unknown_design_are_said(served: Served) -> None:
    for arguments in ([str(CLASSROOM), "--port", str(served.port)], ["no-such-file.toml"], ["--port", "99999"]):
        command = [sys.executable, "-m", "shellcheck_earth", "page", *arguments, "--no-browser"]
        found = subprocess.run(command, capture_output=True, text=True, timeout=60, cwd=ROOT)
        assert found.returncode == 2 and found.stderr.startswith("Cannot say.") and "Traceback" not in found.stderr


def test_the_door_by_itself() -> None:
    door = Door(8080)
    assert door.knows_host("LOCALHOST:8080") and not door.knows_host("localhost") and not door.knows_host("")
    assert door.own_origin("http://localhost:8080", "localhost:8080")
    assert not door.own_origin("http://localhost:8080", "127.0.0.1:8080")  # of this machine, but not of this page
    assert door.is_key(door.key) and not door.is_key("") and not door.is_key(door.key[:-1])
    assert Door(1).key != Door(1).key and len(door.key) >= 32
    assert door.is_here("127.0.0.1") and door.is_here("::1") and not door.is_here("192.0.2.1") and not door.is_here("")
    assert cookie_of("a=1; b=2", "b") == "2" and cookie_of("a=1", "b") == "" and cookie_of(";;;=", "b") == ""
    assert one_header([(b"host", b"a"), (b"host", b"a")], "host") == ""
