from django.apps import AppConfig


class PaperConfig(AppConfig):
    name = "studio.paper"
    label = "paper"
