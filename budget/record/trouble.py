"""What went wrong when the weather service was asked: of which kind it is, in words, and what can be done about it.

    what came                                              is told as
    404 for a year                                         absent: the service has no such year
    other status; damaged, cut or foreign content          a trouble of that year; asked for once more
    no connection, no answer in time, a proxy, TLS         the network: nothing else is asked then
    a damaged file in the cache                            the station's cache is dropped, and it is asked for anew
    an old list of stations, and no newer one              a remark: the old one serves

No password of a proxy and no personal part of an address is told.
"""

from __future__ import annotations

import http.client
import logging
import re
import socket
import ssl
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

NOT_NOW = (401, 403, 407, 429)  # whoever is told so asks nothing more
LOG_IN_PAGE = "a log-in page of the network, perhaps"
BRING_A_FILE = 'or bring a record of your own: rain.source = "files" and rain.file'
ADDRESSING = urllib.error.URLError, http.client.InvalidURL


class Kind(Enum):
    """What became of a year that did not come."""

    ABSENT = "not there"
    SERVER = "server error"
    CONTENT = "damaged or foreign content"
    NETWORK = "network"
    CACHE = "damaged cache, or one that cannot be written"


@dataclass(frozen=True)
class Trouble:
    kind: Kind
    words: str


def year_trouble(lines: list[logging.LogRecord], year: int, address: str) -> Trouble:
    """Why a year came without days, by what the library told its log."""
    for line in lines:
        if line.levelno == logging.ERROR:
            error = line.exc_info[1] if line.exc_info else None
            reason = error.strerror if isinstance(error, OSError) else type(error).__name__
            return Trouble(Kind.CACHE, f"what it holds cannot be read, or nothing can be written there ({reason})")
    for line in lines:
        error = line.exc_info[1] if line.exc_info else None
        if f'year "{year}"' not in line.getMessage():
            continue
        return classify(error, address) if error is not None else Trouble(Kind.ABSENT, "not found")
    return Trouble(Kind.ABSENT, "no measured value")


def list_trouble(lines: list[logging.LogRecord], error: Exception) -> Trouble:
    """Why the list of stations did not come."""
    if type(error).__module__.startswith("requests"):  # it had begun to come
        return classify(error)
    if isinstance(error, OSError):
        return Trouble(Kind.CACHE, f"it cannot be written to the cache ({error.strerror})")
    for line in lines:
        said = list(line.args) if isinstance(line.args, tuple) else []
        failed = next((part for part in said if isinstance(part, BaseException)), None)
        address = str(said[0]) if said else ""
        if failed is not None:
            return classify(failed, address)
        if "status" in line.getMessage() and len(said) > 1:
            return Trouble(Kind.SERVER, f"{host(address)} answers with status {said[1]}")
    return Trouble(Kind.SERVER, "the service has none at its addresses")


def classify(error: BaseException, address: str = "") -> Trouble:
    """A trouble by the errors that led to it."""
    chain = list(causes(error))
    for found in chain:
        if isinstance(found, urllib.error.HTTPError):
            kind = Kind.NETWORK if found.code in NOT_NOW else Kind.SERVER
            return Trouble(kind, f"the server answers with status {found.code}")
    where, through = host(address) if address else "the service", proxy_words(address)
    for found in chain:
        text = str(found).lower()
        if "proxy" in type(found).__name__.lower() or "tunnel connection" in text:
            return Trouble(Kind.NETWORK, f"the proxy does not let it through{through}")
        if isinstance(found, ssl.SSLCertVerificationError):
            return Trouble(Kind.NETWORK, f"the certificate of {where} is not accepted{through}")
        if isinstance(found, ssl.SSLError):
            return Trouble(Kind.NETWORK, f"no secure connection to {where}{through}")
        if isinstance(found, socket.gaierror) or "name resolution" in text or "failed to resolve" in text:
            return Trouble(Kind.NETWORK, f"no network: the name of {where} cannot be looked up{through}")
        if isinstance(found, TimeoutError) or "timed out" in text:
            return Trouble(Kind.NETWORK, f"no answer from {where} in time{through}")
        if isinstance(found, ConnectionError) or "connection refused" in text:
            return Trouble(Kind.NETWORK, f"no connection to {where}{through}")
    if any(isinstance(found, EOFError) or "IncompleteRead" in type(found).__name__ for found in chain):
        return Trouble(Kind.CONTENT, "its file is cut short")
    if any(isinstance(found, ADDRESSING) or type(found).__module__.startswith("requests") for found in chain):
        said = [found.strerror for found in chain if isinstance(found, OSError) and found.strerror]
        reason = said[0] if said else type(error).__name__  # not its text, which may hold the password of a proxy
        return Trouble(Kind.NETWORK, f"no connection to {where}: {reason}{through}")
    if any("BadGzipFile" in type(found).__name__ for found in chain):
        return Trouble(Kind.CONTENT, f"something else came than its file; {LOG_IN_PAGE}")
    return Trouble(Kind.CONTENT, f"its file cannot be read ({type(error).__name__})")


def causes(error: BaseException) -> Iterator[BaseException]:
    """The error and all that led to it."""
    waiting: list[BaseException] = [error]
    seen: set[int] = set()
    while waiting:
        found = waiting.pop(0)
        if id(found) in seen:
            continue
        seen.add(id(found))
        yield found
        inner = [found.__cause__, found.__context__, getattr(found, "reason", None), *found.args]
        waiting += [part for part in inner if isinstance(part, BaseException)]


def proxy_words(address: str) -> str:
    """The proxy that the environment names for the address, without what is secret in it."""
    scheme = urllib.parse.urlsplit(address).scheme or "https"
    proxy = urllib.request.getproxies().get(scheme)
    name = urllib.parse.urlsplit(address).hostname or ""
    if not proxy or (name and urllib.request.proxy_bypass(name)):
        return ""
    return f" (asked through the proxy {host(proxy)})"


def host(address: str) -> str:
    """Host and port of an address; nothing of a name or password before them, however it is written."""
    after = address.rpartition("@")[2] if "@" in address else address.rpartition("//")[2]
    return re.split(r"[/?#]", after)[0]


def remedy(trouble: Trouble) -> str:
    """What can be done about a trouble."""
    if trouble.kind is Kind.NETWORK:
        return "see that the network is there, and try again"
    if trouble.kind is Kind.CONTENT:
        return "log in to the network where it asks for that, and try again"
    if trouble.kind is Kind.CACHE:
        return "make room for the cache folder, or delete it, and try again"
    return "try again later"


def shortened(error: BaseException) -> str:
    """What an error says, on one line."""
    text = " ".join(str(error).split())
    return text if len(text) <= 120 else f"{text[:117]}..."
