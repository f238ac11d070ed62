"""Slabs: where each lay in its log, what became of it, how large it is now, where it is."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from pithline.yard.models.logs import Log
from pithline.yard.models.people import Contact, Place
from pithline.yard.models.plans import Plan
from pithline.yard.models.row import Owner, Row, possible

__all__ = ["Pair", "Parent", "Size", "Slab", "Stack"]


class Stack(Row):
    """A pile of slabs at a place, seen from its end."""

    name = models.CharField(max_length=80)
    place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="stacks")
    built_on = models.DateField(null=True)
    sticker_m = models.FloatField(null=True, help_text="Thickness of the sticks between layers.")
    sticker_width_m = models.FloatField(null=True)
    sticker_places_m = models.JSONField(null=True, help_text="Mid-sticker from the stack's near end. [m]")
    bolster_m = models.FloatField(null=True, help_text="Height of the timbers below the first layer.")
    top_weight_kg = models.FloatField(null=True, help_text="Laid on top against warp.")
    bears_kg_m2 = models.FloatField(null=True, help_text="What the floor bears, as its owner says.")
    covered_on = models.DateField(null=True, help_text="A roof on it; empty = none.")
    ends_shaded_on = models.DateField(null=True, help_text="Ends kept from sun and wind.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("name",)
        constraints = (
            models.UniqueConstraint(name="stack_named_once", fields=("name",)),
            possible(
                "stack",
                sticker_m=(0, 0.5),
                sticker_width_m=(0.001, 0.5),
                bolster_m=(0, 2),
                top_weight_kg=(0, 1e5),
                bears_kg_m2=(1, 1e6),
            ),
        )

    def __str__(self) -> str:
        return self.name


class Slab(Row):
    """One piece of wood. The number on it never changes; cutting it retires it and makes children."""

    class State(models.TextChoices):
        """What is true of the wood now."""

        GREEN = "green", "green"
        DRYING = "drying", "drying"
        DRY = "dry", "dry"
        FLATTENED = "flattened", "flattened"
        RETIRED = "retired", "cut or joined into others"
        SOLD = "sold", "sold"
        SCRAP = "scrap", "scrap"

    log = models.ForeignKey(Log, null=True, on_delete=models.PROTECT, related_name="slabs")
    number = models.PositiveIntegerField(help_text="From the top of its log; in its own row for a glue-up.")
    suffix = models.CharField(max_length=8, blank=True, help_text="a, b of 14-3a; empty for a whole slab.")
    species = models.CharField(max_length=80)
    nominal = models.CharField(
        max_length=20, blank=True, help_text="What the trade calls its thickness: 12/4."
    )
    state = models.CharField(max_length=10, choices=State.choices, default=State.GREEN)
    owner = models.CharField(max_length=10, choices=Owner.choices, default=Owner.OWN)
    owner_contact = models.ForeignKey(Contact, null=True, on_delete=models.PROTECT, related_name="slabs")
    plan = models.ForeignKey(Plan, null=True, on_delete=models.PROTECT, related_name="slabs")
    planned_number = models.PositiveIntegerField(null=True)
    place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="slabs")
    stack = models.ForeignKey(Stack, null=True, on_delete=models.PROTECT, related_name="slabs")
    layer = models.PositiveIntegerField(null=True, help_text="From the bottom of its stack, 1 first.")
    spot = models.PositiveIntegerField(null=True, help_text="In its layer from the left, seen from the end.")
    along_m = models.FloatField(null=True, help_text="Its nearer end from the stack's near end.")
    across_m = models.FloatField(null=True, help_text="Its left edge from the stack's left side.")
    end_for_end = models.BooleanField(null=True, help_text="Laid with its butt at the far end.")
    face_down = models.BooleanField(null=True, help_text="Laid with its upper face down.")
    sawn_on = models.DateField(null=True)
    ends_sealed_on = models.DateField(null=True, help_text="Wax or paint on both ends.")
    holds_pith = models.BooleanField(null=True)
    figure = models.CharField(max_length=120, blank=True)
    figure_share = models.FloatField(null=True, help_text="Of the face that shows it. [fraction]")
    flaws = models.CharField(max_length=120, blank=True, help_text="Checks, punky sapwood, stain.")
    cost_minor = models.BigIntegerField(null=True)
    asking_minor = models.BigIntegerField(null=True)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("log__number", "number", "suffix")
        constraints = (
            models.UniqueConstraint(name="slab_numbered_once", fields=("log", "number", "suffix")),
            # Databases take two empty logs for different ones.
            models.UniqueConstraint(
                name="glued_numbered_once", fields=("number", "suffix"), condition=Q(log=None)
            ),
            possible("slab", along_m=(0, 60), across_m=(0, 30), figure_share=(0, 1)),
        )
        indexes = (models.Index(fields=("state",)), models.Index(fields=("stack", "layer")))

    @property
    def label(self) -> str:
        """The number on the wood: 14-3, 14-3a; G-2 for a glue-up of two logs' slabs."""
        head = str(self.log.number) if self.log else "G"
        return f"{head}-{self.number}{self.suffix}"

    def __str__(self) -> str:
        return self.label


class Size(Row):
    """How large a slab is in one state at one time. Empty = not measured."""

    class State(models.TextChoices):
        """Which of the three sizes."""

        GREEN = "green", "green"
        DRY = "dry", "rough dry"
        FLATTENED = "flattened", "finished"

    slab = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="sizes")
    current = models.BooleanField(default=True, help_text="What holds now; the others are its past.")
    state = models.CharField(max_length=10, choices=State.choices, default=State.GREEN)
    at = models.DateTimeField(null=True)
    length_m = models.FloatField(null=True)
    thickness_m = models.FloatField(null=True)
    mean_width_m = models.FloatField(null=True)
    least_width_m = models.FloatField(null=True)
    outline = models.JSONField(null=True, help_text="z_m, upper_edges_m, lower_edges_m as in a plan's slab.")
    volume_m3 = models.FloatField(null=True, help_text="All wood, where the outline tells it.")
    tally = models.FloatField(null=True)
    tally_unit = models.CharField(max_length=4, blank=True)
    tally_rule = models.CharField(max_length=60, blank=True)
    weight_kg = models.FloatField(null=True)
    moisture_percent = models.FloatField(null=True)

    class Meta:
        ordering = ("created_at",)
        constraints = (
            models.UniqueConstraint(name="one_current_size", fields=("slab",), condition=Q(current=True)),
            possible(
                "size",
                length_m=(0.01, 60),
                thickness_m=(0.001, 5),
                mean_width_m=(0, 10),
                least_width_m=(0, 10),
                volume_m3=(0, 500),
                tally=(0, 1e6),
                weight_kg=(0.001, 1e5),
                moisture_percent=(0, 250),
            ),
        )


class Parent(Row):
    """What a piece was cut from or glued of, with its share of volume and cost."""

    child = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="came_from")
    parent = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="became")
    share = models.FloatField(null=True, help_text="Of the parent's volume with kerf; children add up to 1.")

    class Meta:
        ordering = ("created_at",)
        constraints = (
            models.UniqueConstraint(name="parent_once", fields=("child", "parent")),
            possible("parent", share=(0, 1)),
        )


class Pair(Row):
    """Two slabs that belong together: book-matched neighbours."""

    first = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="pairs_as_first")
    second = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="pairs_as_second")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("created_at",)
        constraints = (models.UniqueConstraint(name="pair_once", fields=("first", "second")),)
