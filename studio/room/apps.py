from django.apps import AppConfig


class RoomConfig(AppConfig):
    name = "studio.room"
    label = "room"
