from django.apps import AppConfig


class ClayConfig(AppConfig):
    name = "studio.clay"
    label = "clay"
