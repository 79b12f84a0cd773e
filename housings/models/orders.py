"""Orders and the build specs they hold."""

from __future__ import annotations

from django.db import models

from shopqc.append_only import sealed
from shopqc.models import Customer, Recorded


class Order(Recorded):
    """What a customer has ordered, whole: every line of it fits, or there is no order."""

    lock_rank, chain_kind, chain_key = 10, "order", "number"

    number = models.CharField(max_length=20, unique=True)
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="orders")
    reference = models.CharField(max_length=60)
    due_on = models.DateField(null=True)
    note = models.TextField(blank=True)
    placed_at = models.DateTimeField()
    placed_by = models.CharField(max_length=30)

    class Meta:
        constraints = [
            # Whatever an order system does about its own retries, one reference is one order.
            models.UniqueConstraint(fields=["customer", "reference"], name="one_order_per_reference")
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def of_customer(self) -> int:
        return self.customer_id


@sealed
class BuildSpec(models.Model):
    """What one line of an order asks for; lengths in inches as they were typed."""

    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="specs")
    line = models.PositiveIntegerField()
    quantity = models.PositiveIntegerField()
    data = models.JSONField()

    class Meta:
        ordering = ["line"]
        constraints = [models.UniqueConstraint(fields=["order", "line"], name="one_spec_per_line")]

    def __str__(self) -> str:
        return f"{self.order_id} line {self.line}"
