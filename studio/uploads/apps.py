from django.apps import AppConfig


class UploadsConfig(AppConfig):
    name = "studio.uploads"
    label = "uploads"
