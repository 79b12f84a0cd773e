"""A secret on its way into an operation."""

from django.utils.crypto import salted_hmac


class Secret(str):
    """A PIN or password that appears in no digest, log or error as itself."""

    __slots__ = ()

    def __repr__(self) -> str:
        return "Secret(…)"

    def fingerprint(self) -> str:
        """What stands for the secret where a request is recognised; worth nothing without our key."""
        return salted_hmac("shopqc.secret", str(self), algorithm="sha256").hexdigest()
