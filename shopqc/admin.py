"""Django's admin shows and does not write: every write goes through an operation."""

from __future__ import annotations

from django.contrib import admin
from django.db import models
from django.http import HttpRequest

from shopqc.models import ApiKey, Customer, Device, LedgerEntry, Person, Shop


class ReadOnly(admin.ModelAdmin):
    """Shows rows; has no form that saves."""

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: models.Model | None = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: models.Model | None = None) -> bool:
        return False


class WithoutSecrets(ReadOnly):
    exclude = ("password", "pin", "token_digest", "key_digest")


admin.site.register([Person, Device, ApiKey], WithoutSecrets)
admin.site.register([Customer, LedgerEntry, Shop], ReadOnly)
