"""Who may speak to the page's server: only this machine, from the page itself, with the key of this run.

When a class looks on, others in the network too, by the shared address and with the code of this run (see `share`).

Checked for every request, sockets included: the peer's address, the name of the host asked for (a name that points
here from elsewhere is refused), the origin, and the key that the command put into the browser. Answers carry a policy
under which the page can load nothing but itself and nobody can frame it.
"""

from __future__ import annotations

import hmac
import ipaddress
import secrets
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie

__all__ = ["HEADERS", "LARGEST_MESSAGE", "LARGEST_SMALL", "Door", "cookie_of", "one_header"]

LARGEST_MESSAGE = 2_000_000
"""Bytes of one message: a design file of at most 1 MB, with what JSON needs to quote it."""

LARGEST_SMALL = 8_000
"""Characters of a message that brings no design file."""

HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self';"
        " font-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cache-Control": "no-store",
}


def cookie_of(header: str, name: str) -> str:
    """The value of one cookie of a header; "" where there is none or the header is not one."""
    try:
        found = SimpleCookie(header[:4096]).get(name)
    except CookieError:
        return ""
    return found.value if found is not None else ""


def _same(given: str, wanted: str) -> bool:
    return hmac.compare_digest(given.encode(), wanted.encode())


@dataclass(frozen=True)
class Door:
    """The port and the hosts that this run answers to, and its key. `others`: addresses in the network, when shared, by
    which guests come, and nobody on this machine."""

    port: int
    others: tuple[str, ...] = ()
    key: str = field(default_factory=lambda: secrets.token_urlsafe(24))

    @property
    def cookie(self) -> str:
        """Its name: browsers keep cookies by host alone, so another port needs another."""
        return f"shellcheck-earth-{self.port}"

    def knows_host(self, host: str, peer: str = "127.0.0.1") -> bool:
        """Whether a request asks for this server by a name of its own, as its peer may: this machine by its own names,
        others by the shared address."""
        names = ("127.0.0.1", "localhost", "[::1]") if self.is_here(peer) else self.others
        return host.lower() in {f"{name}:{self.port}" for name in names}

    @staticmethod
    def own_origin(origin: str, host: str) -> bool:
        """Whether a page of this very server, by this very name, sent the request."""
        return _same(origin.lower(), f"http://{host.lower()}")

    def is_key(self, given: str) -> bool:
        """Whether it is the key of this run; compared without telling by time how much of it was right."""
        return _same(given, self.key)

    @staticmethod
    def is_here(peer: str) -> bool:
        """Whether the peer's address is this machine's own."""
        try:
            return ipaddress.ip_address(peer).is_loopback
        except ValueError:
            return False


def one_header(headers: Iterable[tuple[bytes, bytes]], name: str) -> str:
    """A header that came exactly once; "" where it is missing or came twice, which no browser does."""
    found = [value for key, value in headers if key.lower() == name.encode()]
    return found[0].decode("latin-1") if len(found) == 1 else ""
