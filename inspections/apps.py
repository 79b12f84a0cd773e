"""What is measured and proven."""

from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    name = "inspections"
