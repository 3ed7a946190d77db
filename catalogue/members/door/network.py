"""From where a request comes: the network address as far as it is counted, and the browser.

``REMOTE_ADDR`` is set by the server alone: from the connection, or from what the one trusted proxy
forwarded (see ``EXERGUE_TRUSTED_PROXY`` and ``serve``). No header of a request is read for it.
"""

from __future__ import annotations

from ipaddress import IPv6Address, ip_address, ip_network

from django.http import HttpRequest

OWN_NETWORK = 64  # bits of an IPv6 address before those of the machine itself (RFC 4291, 2.5.1)
NOT_SAID = "0.0.0.0"  # noqa: S104 a mark, nothing listens there
LONGEST_AGENT = 300


def client_agent(request: HttpRequest) -> str:
    """What the browser says of itself, as much of it as is kept."""
    said: str = request.META.get("HTTP_USER_AGENT", "")
    return said.replace("\0", "")[:LONGEST_AGENT]


def client_address(request: HttpRequest) -> str:
    """The address; of an IPv6 address the network, within which one machine has 2^64 of them."""
    try:
        address = ip_address(request.META.get("REMOTE_ADDR", ""))
    except ValueError:  # a socket of the machine itself, or a proxy that names no address
        return NOT_SAID
    if isinstance(address, IPv6Address):
        if address.ipv4_mapped:
            return str(address.ipv4_mapped)
        number = int(address)  # without the name of an interface
        return str(ip_network((number, OWN_NETWORK), strict=False).network_address)
    return str(address)
