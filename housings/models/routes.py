"""Routes: which stations, in which order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.db import models

ALWAYS, WITH_LINKS = "", "links"


@dataclass(frozen=True)
class RouteStation:
    """One station of a route.

    ``when``: ``"links"`` if only housings with links go there.
    ``group``: stations that share a number may be done in any order among themselves.
    """

    station: str
    when: str = ALWAYS
    group: int | None = None


class RouteDraft(models.Model):
    """A route that somebody is writing; it binds nobody until it is published."""

    name = models.CharField(max_length=40)
    copied_from = models.ForeignKey("RouteRevision", null=True, on_delete=models.PROTECT, related_name="+")
    stations = models.JSONField(default=list)
    note = models.TextField(blank=True)
    begun_at = models.DateTimeField()
    kept_at = models.DateTimeField()
    kept_by = models.CharField(max_length=30)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["-kept_at"]

    def __str__(self) -> str:
        return self.name


class RouteRevision(models.Model):
    """One revision of a route; a housing keeps the one it was released with."""

    name = models.CharField(max_length=40)
    number = models.PositiveIntegerField()
    stations = models.JSONField()
    note = models.TextField(blank=True)
    published_at = models.DateTimeField()
    published_by = models.CharField(max_length=30)

    class Meta:
        ordering = ["name", "-number"]
        constraints = [models.UniqueConstraint(fields=["name", "number"], name="one_route_per_number")]

    def __str__(self) -> str:
        return f"{self.name} {self.number}"

    def stations_for(self, *, links: bool) -> Iterator[RouteStation]:
        """The stations that a housing with or without links goes through."""
        for entry in self.stations:
            station = RouteStation(**entry)
            if station.when != WITH_LINKS or links:
                yield station
