from django.apps import AppConfig


class ConfigConfig(AppConfig):
    name = "studio.config"
    label = "config"
