"""Beside joints and rim: flaws and losses from making, photos; and the way of the pot."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.models import Piece
from studio.uploads.models import StoredImage
from studio.ware.models import Lost, Occasion, Pot, PotPhoto, Stage
from studio.web.shown import day_text

from .records import Record, Records
from .seen import Evidence, Picture, local_day, short_day

MOST_PHOTOS = 8
_OF_JOINTS = (Occasion.BUILDING, Occasion.GREENWARE)

Photos = Mapping[UUID, list[PotPhoto]]


def pots_by_piece(pieces: Iterable[Piece]) -> dict[UUID, list[Pot]]:
    """The pots of each piece, the newest first; one query."""
    found: dict[UUID, list[Pot]] = defaultdict(list)
    by_pk = {piece.pk: piece for piece in pieces}
    for pot in Pot.objects.filter(piece__in=by_pk).order_by("-number"):
        pot.piece = by_pk[pot.piece_id]
        found[pot.piece_id].append(pot)
    return found


def photos_by_pot(pots: Iterable[UUID]) -> dict[UUID, list[PotPhoto]]:
    """Photos that can be shown, the newest first; one query."""
    found: dict[UUID, list[PotPhoto]] = defaultdict(list)
    rows = PotPhoto.objects.filter(pot__in=list(pots), image__state=StoredImage.State.READY)
    for photo in rows.order_by("-at", "-pk"):
        found[photo.pot_id].append(photo)
    return found


def joints_evidence(
    piece: Piece, pots: Sequence[Pot], records: Mapping[UUID, Records], photos: Photos
) -> Evidence:
    """Only what came from making: kiln, drying and accident say nothing about joints."""
    zone = piece.studio.zone
    said = [_flaw(pot, flaw, zone) for pot in pots for flaw in records[pot.pk].flaws]
    said += [_loss(pot, loss, zone) for pot in pots for loss in records[pot.pk].lost_in_making]
    shown = [each for pot in pots for each in _pictures(pot, photos, zone, _OF_JOINTS)]
    unset = sum(records[pot.pk].causes_unset for pot in pots)
    nothing = _("No flaw and no loss from making is recorded.")
    said = [*(said or [nothing]), *([_unset(unset)] if unset else [])]
    return Evidence(tuple(said), tuple(shown[:MOST_PHOTOS]))


def _unset(howmany: int) -> str:
    message = ngettext(
        "The cause of %(howmany)s flaw or loss isn't set yet; it may come from making.",
        "The causes of %(howmany)s flaws or losses aren't set yet; they may come from making.",
        howmany,
    )
    return message % {"howmany": howmany}


def rim_evidence(piece: Piece, pots: Sequence[Pot], photos: Photos) -> Evidence:
    """The photos, newest first."""
    zone = piece.studio.zone
    shown = [each for pot in pots for each in _pictures(pot, photos, zone, Occasion)]
    if not shown:
        return Evidence((_("No photo of the pot yet."),))
    newest = _("The newest photo: %(caption)s.") % {"caption": shown[0].caption}
    return Evidence((newest,), tuple(shown[:MOST_PHOTOS]))


def history_of(piece: Piece, pots: Sequence[Pot], records: Mapping[UUID, Records]) -> Evidence:
    """When each pot came to each stage."""
    zone = piece.studio.zone
    said = [_way(pot, records[pot.pk], zone) for pot in pots]
    return Evidence(tuple(said) or (_("No pot has been begun."),))


def marked_from_photos(
    piece: Piece, pots: Sequence[Pot], records: Mapping[UUID, Records], photos: Photos
) -> str:
    """A sentence where no pot of the piece stands any more, "" where one does."""
    if not pots or not pots[0].lost:
        return ""
    pot, lost = pots[0], records[pots[0].pk].lost
    day = _day(lost, piece.studio.zone) if lost else day_text(pot.stage_at)
    words = {"code": pot.code, "day": day, "lost": pot.get_lost_display()}
    shown = photos[pot.pk]
    if not shown:
        return _("Pot %(code)s is %(lost)s since %(day)s, and there is no photo of it.") % words
    words["photo"] = day_text(local_day(shown[0].at, piece.studio.zone))
    return (
        _(
            "Pot %(code)s is %(lost)s since %(day)s. It is marked from its last photos, the "
            "newest of %(photo)s."
        )
        % words
    )


def _flaw(pot: Pot, flaw: Record, zone: ZoneInfo) -> str:
    what, mended, _none = flaw.words
    words = {"code": pot.code, "day": _day(flaw, zone), "what": what, "mended": mended}
    if mended:
        return _("%(code)s, flaw from making, %(day)s: %(what)s. Mended: %(mended)s.") % words
    return _("%(code)s, flaw from making, %(day)s: %(what)s.") % words


def _loss(pot: Pot, loss: Record, zone: ZoneInfo) -> str:
    kind, stage, _cause = loss.words
    words = {
        "code": pot.code,
        "day": _day(loss, zone),
        "lost": Lost(kind).label,
        "stage": Stage(stage).label,
    }
    return _("%(code)s, %(lost)s on %(day)s when it was %(stage)s; cause: making.") % words


def _pictures(
    pot: Pot, photos: Photos, zone: ZoneInfo, occasions: Iterable[Occasion]
) -> list[Picture]:
    wanted = set(occasions)
    return [
        Picture("pot", str(each.pk), _caption(pot, each, zone))
        for each in photos[pot.pk]
        if each.occasion in wanted
    ]


def _caption(pot: Pot, photo: PotPhoto, zone: ZoneInfo) -> str:
    return f"{pot.code}, {photo.get_occasion_display()}, {short_day(photo.at, zone)}"


def _way(pot: Pot, records: Records, zone: ZoneInfo) -> str:
    steps = [f"{Stage(each.words[0]).label} {_day(each, zone)}" for each in records.stages]
    steps += [f"{Lost(each.words[0]).label} {_day(each, zone)}" for each in records.losses]
    return f"{pot.code}: " + "; ".join(steps)


def _day(record: Record, zone: ZoneInfo) -> str:
    return day_text(local_day(record.at, zone))
