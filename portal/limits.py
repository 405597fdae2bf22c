"""How often somebody may knock: one counter a key and window, in the database, so that it holds over all processes and a restart.

Windows are fixed, not sliding: at worst twice the limit passes around a window's edge, which is still a limit.
"""

import time
from ipaddress import IPv6Address, ip_address

from django.conf import settings
from django.db import connection
from django.http import HttpRequest
from django.utils.crypto import salted_hmac

from portal.models import RateBucket

UPSERT = (
    "INSERT INTO {table} ({key}, {window}, {count}) VALUES (%s, %s, 1) "
    "ON CONFLICT ({key}, {window}) DO UPDATE SET {count} = {table}.{count} + 1 RETURNING {count}"
)


def take(key: str, limit: int, seconds: int) -> bool:
    """Whether this is one of the first `limit` knocks of `key` in the present window of `seconds`. Counts it either way.

    One statement, so that of many at once exactly `limit` pass, on SQLite and on PostgreSQL alike.
    """
    window = (int(time.time()) // seconds + 1) * seconds  # the second at which it ends
    with connection.cursor() as cursor:
        cursor.execute(_upsert(), [_hash(f"{seconds}:{key}"), window])
        count: int = cursor.fetchone()[0]
    if count == 1:
        RateBucket.objects.filter(window__lt=time.time()).delete()
    return count <= limit


def client_address(request: HttpRequest) -> str:
    """The visitor's address, or "" where there is none. A proxy's header counts only where a proxy of ours sets it.

    Of X-Forwarded-For the last entry is the one that our own proxy wrote; what stands before it anybody can make up.
    """
    forwarded = request.headers.get("X-Forwarded-For", "")
    address = forwarded.rpartition(",")[2].strip() if settings.BEHIND_PROXY and forwarded else ""
    return address or request.META.get("REMOTE_ADDR", "")


def network(request: HttpRequest) -> str:
    """What counts as one visitor: an IPv4 address, or the /64 of an IPv6 address, which one household has all of."""
    address = client_address(request)
    try:
        parsed = ip_address(address)
    except ValueError:
        return address
    if not isinstance(parsed, IPv6Address):
        return address
    if parsed.ipv4_mapped:
        return str(parsed.ipv4_mapped)
    return str(IPv6Address(int(parsed) >> 64 << 64))


def _upsert() -> str:
    quote = connection.ops.quote_name
    return UPSERT.format(
        table=quote(RateBucket._meta.db_table),
        key=quote("key_hash"),
        window=quote("window"),
        count=quote("count"),
    )


def _hash(key: str) -> str:
    """Keys are addresses and contacts of people: only a keyed hash of them is stored."""
    return salted_hmac("portal.limits", key, algorithm="sha256").hexdigest()
