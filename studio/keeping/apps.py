from django.apps import AppConfig


class KeepingConfig(AppConfig):
    name = "studio.keeping"
    label = "keeping"
