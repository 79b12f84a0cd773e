"""People, keys and devices, the shop itself, and the record book."""

from __future__ import annotations

from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models

from shopqc.append_only import sealed
from shopqc.people import ROLES

NO_HEAD = "0" * 64


class Recorded(models.Model):
    """Something with a chain of its own in the record book.

    The row keeps the digest of the chain's last line and its position, so
    that locking the row is locking the chain, and lines cut off the end are
    missed.

    ``lock_rank`` is its place in the one order in which rows are locked;
    ``chain_key`` the unique column that names it.
    """

    lock_rank: ClassVar[int]
    chain_kind: ClassVar[str]
    chain_key: ClassVar[str]

    record_head = models.CharField(max_length=64, default=NO_HEAD, editable=False)
    record_position = models.PositiveIntegerField(default=0, editable=False)

    class Meta:
        abstract = True

    @property
    def chain(self) -> str:
        """Name of the chain, such as ``housing:KR000123X7``."""
        return f"{self.chain_kind}:{getattr(self, self.chain_key)}"

    @property
    def of_customer(self) -> int | None:
        """Whose it is, if it is a customer's: a key for another customer does not find it."""
        return None


class Shop(Recorded):
    """The shop, one row: how it is called, how it writes, and the chain for what belongs to nothing else."""

    lock_rank, chain_kind, chain_key = 50, "shop", "code"

    code = models.CharField(max_length=10, unique=True, default="shop")
    name = models.CharField(max_length=120)
    address = models.TextField(blank=True)
    serial_prefix = models.CharField(max_length=3, default="AX")
    certificate_series = models.CharField(max_length=12, default="C")
    paper = models.CharField(max_length=6, default="letter", choices=[("letter", "Letter"), ("a4", "A4")])
    length_unit = models.CharField(max_length=2, default="in", choices=[("in", "in"), ("mm", "mm")])
    temperature_unit = models.CharField(max_length=1, default="F", choices=[("F", "°F"), ("C", "°C")])
    decision_rule = models.CharField(
        max_length=12,
        default="simple",
        choices=[("simple", "simple acceptance"), ("guarded", "guarded"), ("guarded_95", "guarded, 95 %")],
    )
    # Of whole calendar months; how long a welder may go without using a process.
    continuity_months = models.PositiveSmallIntegerField(default=6)
    # From the end of the last arc.
    fire_watch_minutes = models.PositiveSmallIntegerField(default=60)
    # code of a rule → {"in_use", "since", "by"}; here, so that one read of the shop tells all it has decided.
    rules = models.JSONField(default=dict)

    def __str__(self) -> str:
        return self.name


class PersonManager(BaseUserManager["Person"]):
    """Finds people by badge. People are made by the operation ``add_person``."""


class Person(AbstractBaseUser, Recorded):
    """Somebody of the shop: badge, stamp number, roles, a PIN for the bench, a password for the desk."""

    lock_rank, chain_kind, chain_key = 40, "person", "stamp"

    badge = models.CharField(max_length=30, unique=True)
    name = models.CharField(max_length=120)
    stamp = models.CharField(max_length=12, unique=True)
    roles = models.JSONField(default=list)
    credential = models.CharField(max_length=200, blank=True)
    pin = models.CharField(max_length=200, blank=True)
    is_active = models.BooleanField(default=True)

    objects = PersonManager()

    USERNAME_FIELD = "badge"
    REQUIRED_FIELDS = ["name", "stamp"]

    def __str__(self) -> str:
        return self.name

    def has_role(self, *roles: str) -> bool:
        """Whether the person holds one of the roles."""
        return bool(set(self.roles) & set(roles))

    @property
    def role_words(self) -> str:
        return ", ".join(str(ROLES[role]) for role in ROLES if role in self.roles)

    # Django's admin shows and does not write: see `shopqc.admin`.
    @property
    def is_staff(self) -> bool:
        return self.is_active and self.has_role("owner", "qc_lead")

    def has_perm(self, perm: str, obj: object | None = None) -> bool:
        return self.is_staff and ".view_" in perm

    def has_module_perms(self, app_label: str) -> bool:
        return self.is_staff


class SecretTries(models.Model):
    """Wrong secrets of one badge at one device: they slow down, they never lock everybody out."""

    badge = models.CharField(max_length=30)
    device = models.CharField(max_length=64)
    wrong = models.PositiveIntegerField(default=0)
    free_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["badge", "device"], name="one_count_per_badge_and_device")
        ]


class Customer(models.Model):
    """For whom housings are built."""

    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)

    def __str__(self) -> str:
        return self.name


class Device(models.Model):
    """A shared tablet at a station, or a phone; PINs work only on a registered one."""

    name = models.CharField(max_length=60)
    station = models.CharField(max_length=40, blank=True)
    token_digest = models.CharField(max_length=64, unique=True)
    registered_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return self.name


class ApiKey(models.Model):
    """A key of another program: prefix and SHA-256 are kept, the key itself is shown once."""

    name = models.CharField(max_length=60)
    prefix = models.CharField(max_length=12, unique=True)
    key_digest = models.CharField(max_length=64, unique=True)
    scopes = models.JSONField(default=list)
    customer = models.ForeignKey(Customer, null=True, on_delete=models.PROTECT)
    person = models.ForeignKey(Person, null=True, on_delete=models.PROTECT)
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField(null=True)
    revoked_at = models.DateTimeField(null=True)

    # What Django REST framework asks of whoever it lets in.
    is_authenticated = True
    is_active = True

    def __str__(self) -> str:
        return f"{self.name} ({self.prefix}…)"


class Counter(models.Model):
    """A running number; locked last, inside the write that uses it, so there are no gaps and no doubles."""

    lock_rank: ClassVar[int] = 60

    series = models.CharField(max_length=30, unique=True)
    value = models.PositiveBigIntegerField(default=0)


@sealed
class LedgerEntry(models.Model):
    """One line of the record book."""

    chain = models.CharField(max_length=60)
    position = models.PositiveIntegerField()
    line = models.TextField()
    digest = models.CharField(max_length=64)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["chain", "position"], name="one_line_per_position")]

    def __str__(self) -> str:
        return f"{self.chain} {self.position}"


class Answered(models.Model):
    """What an operation answered under a key, so that the same request again gets the same answer."""

    owner = models.CharField(max_length=40)
    key = models.CharField(max_length=100)
    operation = models.CharField(max_length=40)
    request_digest = models.CharField(max_length=64)
    answer = models.JSONField(null=True)
    at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["owner", "key"], name="one_answer_per_key")]
        indexes = [models.Index(fields=["at"], name="answered_by_age")]
