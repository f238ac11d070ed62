"""What was asked and paid: listings with their prices, sales, offers, prices noted elsewhere."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from pithline.yard.models.people import Contact
from pithline.yard.models.row import Row, in_turn, possible
from pithline.yard.models.slabs import Slab

__all__ = ["Asked", "Comparable", "Dried", "Listing", "LumberRate", "Offer", "Sale"]


class Dried(models.TextChoices):
    """How far a piece was dried."""

    GREEN = "green", "green"
    AIR = "air dried", "air dried"
    KILN = "kiln dried", "kiln dried"


class Listing(Row):
    """A slab put up for sale somewhere, until it sold there or was taken off."""

    class End(models.TextChoices):
        """Why it is no longer up."""

        SOLD = "sold", "sold"
        WITHDRAWN = "withdrawn", "withdrawn"

    slab = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="listings")
    partner = models.ForeignKey(
        Slab, null=True, on_delete=models.PROTECT, related_name="+", help_text="Offered with it as a pair."
    )
    where = models.CharField(max_length=120, blank=True, help_text="Where buyers see it.")
    begins_on = models.DateField()
    ends_on = models.DateField(null=True)
    end = models.CharField(max_length=9, choices=End.choices, blank=True)
    reference_minor = models.BigIntegerField(null=True, help_text="What such a piece should bring.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("begins_on", "created_at")
        constraints = (
            models.UniqueConstraint(
                name="listed_once_a_time", fields=("slab", "where"), condition=Q(ends_on=None)
            ),
            models.CheckConstraint(
                name="listing_ends_whole",
                condition=Q(ends_on=None, end="") | (Q(ends_on__isnull=False) & ~Q(end="")),
            ),
            in_turn("listing_in_turn", "begins_on", "ends_on"),
            possible("listing", reference_minor=(1, 1e15)),
        )


class Asked(Row):
    """A price that a listing bore from a day on."""

    listing = models.ForeignKey(Listing, on_delete=models.PROTECT, related_name="asked")
    from_on = models.DateField()
    asked_minor = models.BigIntegerField()

    class Meta:
        ordering = ("listing", "from_on")
        verbose_name = "asked price"
        constraints = (
            models.UniqueConstraint(name="one_price_a_day", fields=("listing", "from_on")),
            possible("asked", asked_minor=(0, 1e15)),
        )


class Sale(Row):
    """A slab sold: for how much, to whom, in which state. Its size is the slab's present one."""

    slab = models.OneToOneField(Slab, on_delete=models.PROTECT, related_name="sale")
    listing = models.ForeignKey(Listing, null=True, on_delete=models.PROTECT, related_name="sales")
    buyer = models.ForeignKey(Contact, null=True, on_delete=models.PROTECT, related_name="bought")
    sold_on = models.DateField()
    price_minor = models.BigIntegerField(help_text="For this slab; of a pair sold together, its share.")
    dried = models.CharField(max_length=10, choices=Dried.choices)
    flattened = models.BooleanField(default=False)
    with_partner = models.BooleanField(default=False, help_text="Sold as one of a pair.")
    use = models.CharField(max_length=60, blank=True, help_text="What it is to be: table.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("sold_on", "created_at")
        constraints = (possible("sale", price_minor=(0, 1e15)),)


class Comparable(Row):
    """A price of somebody else's piece, with where and when it was seen."""

    source = models.CharField(max_length=200, help_text="Where it was seen.")
    seen_on = models.DateField()
    what = models.CharField(max_length=120, blank=True)
    species = models.CharField(max_length=80)
    thickness_m = models.FloatField()
    width_m = models.FloatField(help_text="Mean, as tallied.")
    length_m = models.FloatField()
    volume_m3 = models.FloatField(
        null=True, help_text="As tallied there; empty = thickness x width x length."
    )
    dried = models.CharField(max_length=10, choices=Dried.choices)
    flattened = models.BooleanField(default=False)
    pair = models.BooleanField(default=False)
    live_edge = models.BooleanField(default=True)
    flawed = models.BooleanField(default=False)
    figure_share = models.FloatField(default=0.0, help_text="Of the face. [fraction]")
    use = models.CharField(max_length=60, blank=True)
    paid = models.BooleanField(default=False, help_text="Paid; else asked only.")
    price_minor = models.BigIntegerField(help_text="For the piece, in its own currency.")
    currency = models.CharField(max_length=3)
    rate = models.FloatField(null=True, help_text="Book's currency for 1 of its own; empty = the same.")
    rate_on = models.DateField(null=True, help_text="The day of that rate.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("seen_on", "created_at")
        constraints = (
            models.CheckConstraint(
                name="rate_is_dated",
                condition=Q(rate=None, rate_on=None) | Q(rate__isnull=False, rate_on__isnull=False),
            ),
            possible(
                "comparable",
                thickness_m=(0.001, 2),
                width_m=(0.001, 10),
                length_m=(0.01, 60),
                volume_m3=(1e-6, 500),
                figure_share=(0, 1),
                price_minor=(1, 1e15),
                rate=(1e-9, 1e9),
            ),
        )


class LumberRate(Row):
    """What plain square-edged lumber is sold at, beside which a slab is set."""

    species = models.CharField(max_length=80)
    thickness_m = models.FloatField(help_text="From this thickness on.")
    dried = models.CharField(max_length=10, choices=Dried.choices, default=Dried.KILN)
    written = models.CharField(max_length=60, help_text="As typed: 5.50 USD per bf.")
    price_per_m3 = models.FloatField(help_text="In the book's currency, whole units.")
    source = models.CharField(max_length=200)
    seen_on = models.DateField()

    class Meta:
        ordering = ("species", "thickness_m", "seen_on")
        verbose_name = "lumber rate"
        constraints = (possible("lumber", thickness_m=(0.001, 2), price_per_m3=(0, 1e12)),)


class Offer(Row):
    """What somebody would pay for a slab, and until when."""

    class Answer(models.TextChoices):
        """What was said to it."""

        OPEN = "open", "open"
        TAKEN = "taken", "taken"
        REFUSED = "refused", "refused"
        LAPSED = "lapsed", "lapsed"

    slab = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="offers")
    contact = models.ForeignKey(Contact, null=True, on_delete=models.PROTECT, related_name="offers")
    amount_minor = models.BigIntegerField()
    made_on = models.DateField()
    good_until = models.DateField(null=True)
    answer = models.CharField(max_length=7, choices=Answer.choices, default=Answer.OPEN)
    answered_on = models.DateField(null=True)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("-made_on", "created_at")
        constraints = (
            in_turn("offer_in_turn", "made_on", "good_until"),
            possible("offer", amount_minor=(0, 1e15)),
        )
