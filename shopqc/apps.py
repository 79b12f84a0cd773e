"""The project as a Django app: people, keys, the record book."""

from importlib import import_module

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class ShopqcConfig(AppConfig):
    name = "shopqc"
    verbose_name = "shop"

    def ready(self) -> None:
        from shopqc import append_only, checks  # noqa: F401  (checks register themselves)

        import_module(
            "shopqc.celery"
        )  # makes it the default application; wiring, so nobody imports it by name

        post_migrate.connect(append_only.lay_after_migrate, dispatch_uid="lay seals")
