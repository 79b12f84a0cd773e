"""What is built: orders, routes, housings and their visits."""

from django.apps import AppConfig


class HousingsConfig(AppConfig):
    name = "housings"
