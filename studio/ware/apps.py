from django.apps import AppConfig


class WareConfig(AppConfig):
    name = "studio.ware"
    label = "ware"
