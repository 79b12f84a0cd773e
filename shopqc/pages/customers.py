"""Customers: the list, and one more."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from shopqc.doors import for_roles, run
from shopqc.models import Customer
from shopqc.operations.shop import add_customer
from shopqc.page_forms.customers import CustomerForm
from shopqc.places import SHOP
from shopqc.refusals import Refused

AT_ONCE = 50


@for_roles(*SHOP)
@require_http_methods(["GET", "HEAD", "POST"])
def customers(request: HttpRequest) -> HttpResponse:
    """Show all customers; add one."""
    if request.method != "POST":
        return _shown(request, CustomerForm())
    form = CustomerForm(request.POST)
    if not form.is_valid():
        return _shown(request, form, 422)
    told = {name: form.cleaned_data[name] for name in ("code", "name", "email")}
    try:
        run(request, add_customer, form, **told)
    except Refused as refused:
        form.say(refused.reasons)
        return _shown(request, form, refused.status)
    messages.success(request, _("%(name)s is added.") % {"name": told["name"]})
    return redirect("customers")


def _shown(request: HttpRequest, form: CustomerForm, status: int = 200) -> HttpResponse:
    page = Paginator(Customer.objects.order_by("name", "pk"), AT_ONCE).get_page(request.GET.get("page"))
    return render(request, "shopqc/customers.html", {"form": form, "page": page}, status=status)
