from django.apps import AppConfig


class KilnsConfig(AppConfig):
    name = "studio.kilns"
    label = "kilns"
