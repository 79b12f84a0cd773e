"""Registered devices: a PIN works only where a token of ours lies in a cookie that no script can read."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils.crypto import salted_hmac

from shopqc.canonical import digest
from shopqc.models import Device

COOKIE, SALT = "device", "shopqc.devices"
KEPT_FOR = 10 * 365 * 24 * 3600


def token_under(owner: str, key: str) -> tuple[str, str]:
    """The token of 256 bits that belongs to somebody's key of a form, and the digest that is kept of it.

    Made from these and our secret, so that a form sent twice registers one device and gives one token.
    """
    token = salted_hmac(SALT, f"{owner} {key}", algorithm="sha256").hexdigest()
    return token, digest(token.encode())


def give_token(response: HttpResponse, token: str) -> None:
    """Let the browser that gets this answer be the device."""
    response.set_signed_cookie(
        COOKIE,
        token,
        salt=SALT,
        max_age=KEPT_FOR,
        httponly=True,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
    )


def device_of(request: HttpRequest) -> Device | None:
    """The registered device that asks, if it is one and was not revoked."""
    token = request.get_signed_cookie(COOKIE, default=None, salt=SALT)
    if not token:
        return None
    return Device.objects.filter(token_digest=digest(token.encode()), revoked_at=None).first()
