"""The network address from which a request comes, as far as it is counted.

``REMOTE_ADDR`` is set by the server alone: from the connection, or from what the one trusted proxy
forwarded (see ``EXERGUE_TRUSTED_PROXY`` and ``serve``). No header of a request is read here.
"""

from __future__ import annotations

from ipaddress import IPv6Address, ip_address, ip_network

from django.http import HttpRequest

OWN_NETWORK = 64  # bits of an IPv6 address that name a household's network (RFC 6177)
NOT_SAID = "0.0.0.0"  # noqa: S104 a mark, nothing listens there


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
