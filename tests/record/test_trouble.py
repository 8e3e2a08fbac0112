"""What went wrong, in words: by the error that the library met."""

from __future__ import annotations

import errno
import socket
import ssl
import urllib.error
import urllib.request
from types import SimpleNamespace

import pytest
import requests
from urllib3.exceptions import MaxRetryError, NameResolutionError

from budget.record.trouble import Kind, Trouble, classify, remedy

CERTIFICATE = ssl.SSLCertVerificationError(1, "[SSL: CERTIFICATE_VERIFY_FAILED] unable to get local issuer certificate")
POOL = SimpleNamespace(host="service.invalid", port=443)
ADDRESS = "https://service.invalid/daily/{year}/{station}.csv.gz"
CLASSIFIED = [
    (urllib.error.URLError(CERTIFICATE), Kind.NETWORK, "the certificate of service.invalid is not accepted"),
    (
        requests.exceptions.SSLError(MaxRetryError(POOL, "/stations.db", CERTIFICATE)),
        Kind.NETWORK,
        "the certificate of service.invalid is not accepted",
    ),
    (
        urllib.error.URLError(ssl.SSLError(1, "[SSL: WRONG_VERSION_NUMBER] wrong version number")),
        Kind.NETWORK,
        "no secure connection to service.invalid",
    ),
    (
        requests.exceptions.ConnectionError(
            MaxRetryError(
                POOL, "/stations.db", NameResolutionError("service.invalid", POOL, socket.gaierror(-2, "unknown"))
            )
        ),
        Kind.NETWORK,
        "no network: the name of service.invalid cannot be looked up",
    ),
    (
        urllib.error.URLError(OSError("Tunnel connection failed: 407 Proxy Authentication Required")),
        Kind.NETWORK,
        "the proxy does not let it through",
    ),
    (
        requests.exceptions.ProxyError("Cannot connect to proxy."),
        Kind.NETWORK,
        "the proxy does not let it through",
    ),
    (requests.exceptions.ReadTimeout("Read timed out."), Kind.NETWORK, "no answer from service.invalid in time"),
    (urllib.error.URLError(TimeoutError("timed out")), Kind.NETWORK, "no answer from service.invalid in time"),
    (ConnectionResetError(104, "reset by peer"), Kind.NETWORK, "no connection to service.invalid"),
    (
        urllib.error.URLError(OSError(errno.EHOSTUNREACH, "No route to host")),
        Kind.NETWORK,
        "no connection to service.invalid: No route to host",
    ),
    (
        urllib.error.HTTPError(ADDRESS, 403, "Forbidden", None, None),
        Kind.NETWORK,
        "the server answers with status 403",
    ),
    (EOFError("Compressed file ended"), Kind.CONTENT, "its file is cut short"),
    (RecursionError(), Kind.CONTENT, "its file cannot be read (RecursionError)"),
]


@pytest.mark.parametrize(("error", "kind", "words"), CLASSIFIED, ids=[words for _, _, words in CLASSIFIED])
def test_an_error_in_words(error: Exception, kind: Kind, words: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(urllib.request, "getproxies", dict)
    trouble = classify(error, ADDRESS)
    assert (trouble.kind, trouble.words) == (kind, words)


def test_an_error_that_leads_back_to_itself() -> None:
    error = ValueError("round")
    error.__cause__ = KeyError("and round")
    error.__cause__.__context__ = error
    assert classify(error).words == "its file cannot be read (ValueError)"


def test_a_password_in_an_error_is_not_told() -> None:
    error = requests.exceptions.InvalidURL("Failed to parse: http://well:s3c#r@t@proxy.invalid:80/")
    told = classify(error, ADDRESS).words
    assert told == "no connection to service.invalid: InvalidURL"


def test_each_kind_of_trouble_has_a_remedy() -> None:
    told = {kind: remedy(Trouble(kind, "")) for kind in Kind}
    assert "log in" in told[Kind.CONTENT] and "network is there" in told[Kind.NETWORK]
    assert told[Kind.SERVER] == "try again later" and "make room" in told[Kind.CACHE]
