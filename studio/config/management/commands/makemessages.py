from django.core.management.commands import makemessages


class Command(makemessages.Command):
    """Collects the sentences of the pure modules too, which can't import Django's gettext."""

    xgettext_options = [*makemessages.Command.xgettext_options, "--keyword=sentence"]
