"""Signing off, issuing the certificate, revoking it."""

from __future__ import annotations

import base64
import secrets
from typing import Any

from django.utils.translation import gettext_lazy as _

from housings import gate
from housings import states as housing_states
from housings.models import Housing
from housings.operations.orders import change_state
from inspections import rules
from inspections.certificate import facts
from inspections.models import Certificate, CertificateEvent, IssueJob, SignOff
from inspections.models.certificates import ISSUED, REVOKED
from inspections.queries import Measured
from shopqc.canonical import canonical, digest
from shopqc.models import Person, Shop
from shopqc.operation import Answer, Rows, Run, counter, operation
from shopqc.refusals import Reason, Refused, refuse, register
from shopqc.rules import the_shop
from shopqc.secret import Secret
from shopqc.secret_tries import check_secret

register(
    409,
    {
        "key_cannot_sign": _("A sign-off needs a person; this API key stands for none."),
        "lease_lost": _("Another worker has this certificate now."),
        "revoked_already": _("The certificate %(number)s was revoked already."),
    },
)


def new_code() -> str:
    """The code of a certificate's public page: 128 random bits in base 32, small letters, no padding."""
    return base64.b32encode(secrets.token_bytes(16)).decode().rstrip("=").lower()


def series_of(shop: Shop) -> str:
    """The counter of certificate numbers."""
    return f"certificate {shop.certificate_series}"


def reasons_not_to_sign(situation: gate.Situation, stamp: str, person: int | None) -> list[Reason]:
    """Every reason why this person may not sign for this housing now; the page lists the same."""
    reasons = list(gate.ask(situation, gate.SignOff()))
    return reasons + rules.reasons_against_signer(stamp, person, situation.kept(Measured), situation.in_use)


def _housing_signer_and_counter(*, housing: str, signer: str, **_inputs: Any) -> list[Rows]:
    return [
        Rows(Housing, "serial", [housing]),
        Rows(Person, "stamp", [signer]),
        counter(series_of(the_shop())),
    ]


@operation("sign_off", locks=_housing_signer_and_counter)
def sign_off(
    run: Run, *, housing: str, signer: str, secret: Secret, by_pin: bool = False, device: str = "desk"
) -> Answer:
    """Sign for a housing. The facts are frozen here and the certificate gets its number.

    ``signer`` is the stamp of the person who asks; the secret is asked for
    once more. Answers ``{"signed": False, "wait_seconds": n}`` after a wrong
    one, which is counted.
    """
    row = run.get(Housing, housing)
    person = run.get(Person, signer)
    if run.by.person != person.pk:
        raise refuse("key_cannot_sign")
    checked = check_secret(person, person.badge, secret, by_pin=by_pin, device=device, at=run.at)
    if not checked.right:
        run.write(person, signing=housing, right=False)
        return {"signed": False, "wait_seconds": checked.wait_seconds}
    situation = gate.Situation(row)
    if reasons := reasons_not_to_sign(situation, person.stamp, person.pk):
        raise Refused(*reasons)
    shop = situation.shop
    number = f"{shop.certificate_series}-{run.next_number(series_of(shop)):05d}"
    code = new_code()
    frozen = facts.freeze(
        situation.kept(Measured), shop=shop, signer=person, number=number, code=code, at=run.at
    )
    text = canonical(frozen)
    signature = SignOff(
        housing=row,
        facts=text.decode(),
        facts_digest=digest(text),
        record_position=run.position_in(row),
        at=run.at,
        by_stamp=person.stamp,
        by_person=person.pk,
    )
    signature.save(force_insert=True)
    certificate = Certificate(housing=row, sign_off=signature, number=number, code=code, at=run.at)
    certificate.save(force_insert=True)
    job = IssueJob.objects.create(certificate=certificate)
    change_state(run, row, housing_states.SIGNED_OFF)
    run.write(row, [signature, certificate], certificate=number, facts_digest=signature.facts_digest)
    run.write(person, signing=housing, right=True, certificate=number)
    run.after_commit(IssueJob.task, job.pk)
    return {"signed": True, "housing": housing, "certificate": number, "code": code}


def housing_of(*, certificate: str, **_inputs: Any) -> list[Rows]:
    """The lock of an operation on a certificate."""
    # A certificate never changes its housing, so this may be read before the lock.
    serial = Certificate.objects.filter(number=certificate).values_list("housing__serial", flat=True).first()
    if serial is None:
        raise refuse("not_found", what=str(_("certificate")), name=certificate)
    return [Rows(Housing, "serial", [serial])]


@operation("issue_certificate", locks=housing_of)
def issue_certificate(run: Run, *, certificate: str, job: int, token: int, file: str) -> Answer:
    """The worker has made the file: the certificate is issued, if the worker's lease still holds."""
    row = Certificate.objects.select_related("housing").get(number=certificate)
    if not IssueJob.finish(job, token):
        raise refuse("lease_lost")
    event = CertificateEvent(certificate=row, kind=ISSUED, file=file, at=run.at, by_stamp=run.by.stamp)
    event.save(force_insert=True)
    run.write(run.get(Housing, row.housing.serial), [event], certificate=certificate, file=file)
    return {"certificate": certificate, "file": file}


@operation("revoke_certificate", locks=housing_of)
def revoke_certificate(run: Run, *, certificate: str, why: str) -> Answer:
    """Revoke a certificate. It stays on file, its page says so, and the housing goes back into work."""
    row = Certificate.objects.select_related("housing").get(number=certificate)
    housing = run.get(Housing, row.housing.serial)
    if not why.strip():
        raise refuse("reason_needed", "/why")
    if row.events.filter(kind=REVOKED).exists():
        raise refuse("revoked_already", number=certificate)
    event = CertificateEvent(certificate=row, kind=REVOKED, why=why.strip(), at=run.at, by_stamp=run.by.stamp)
    event.save(force_insert=True)
    if housing.state == housing_states.SIGNED_OFF:
        change_state(run, housing, housing_states.IN_WORK)
    run.write(housing, [event], certificate=certificate, revoked=True)
    return {"certificate": certificate, "status": REVOKED}


@operation("reissue_certificate", locks=housing_of)
def reissue_certificate(run: Run, *, certificate: str) -> Answer:
    """Try again to make a file whose making was set aside."""
    row = Certificate.objects.select_related("housing").get(number=certificate)
    again = IssueJob.objects.filter(certificate=row, state=IssueJob.ASIDE)
    if again.update(state=IssueJob.WAITING, attempts=0, not_before=None, last_error="") != 1:
        raise refuse("not_found", what=str(_("certificate that was set aside")), name=certificate)
    run.write(run.get(Housing, row.housing.serial), certificate=certificate, tried_again=True)
    run.after_commit(IssueJob.task, row.job.pk)
    return {"certificate": certificate}
