from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "studio.web"
    label = "web"

    def ready(self) -> None:
        from .forms import speak_plainly  # noqa: PLC0415 -- forms need the apps to be there

        speak_plainly()
