"""Where a request came from, for slowing guesses down."""

import ipaddress

UNKNOWN = "::"


def address_of(remote_addr: str) -> str:
    """The peer's address as it is counted.

    Only the peer's, since headers can be made up. IPv6 by its /64, which is one household;
    a local socket has no address.
    """
    try:
        address = ipaddress.ip_address(remote_addr)
    except ValueError:
        return UNKNOWN
    if isinstance(address, ipaddress.IPv6Address):
        if address.ipv4_mapped is not None:
            return str(address.ipv4_mapped)
        network = ipaddress.ip_network((int(address), 64), strict=False)
        return str(network.network_address)
    return str(address)
