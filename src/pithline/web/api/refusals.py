"""Every refusal in one shape: which field, what it held, the rule, and what to do."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.core.exceptions import RequestDataTooBig
from django.http import Http404, HttpRequest, HttpResponse
from ninja import NinjaAPI
from ninja.errors import AuthenticationError, HttpError, Throttled, ValidationError

from pithline.errors import BadValue, Question, Refused
from pithline.yard.kinds import Clash

__all__ = ["answer_refusals"]

_SHOWN = 200  # letters of a wrong value that are sent back


def answer_refusals(api: NinjaAPI) -> None:
    """Tell the API how to answer what goes wrong; what is not here is our own fault, 500."""

    def handles(kind: type[Exception]) -> Callable[[Any], Any]:
        return api.exception_handler(kind)

    def say(request: HttpRequest, status: int, message: str, **more: str) -> HttpResponse:
        problem = {"message": message, "field": "", "value": "", "rule": "", "remedy": "", **more}
        return api.create_response(request, problem, status=status)

    @handles(Refused)
    def refused(request: HttpRequest, problem: Refused) -> HttpResponse:
        if isinstance(problem, BadValue):
            told = {"field": problem.field, "value": str(problem.value)[:_SHOWN]}
            told |= {"rule": problem.rule, "remedy": problem.remedy}
            return say(request, 409 if isinstance(problem, Clash) else 422, str(problem), **told)
        if isinstance(problem, Question):
            return say(request, 422, problem.question, field=problem.option.lstrip("-").replace("-", "_"))
        return say(request, 422, str(problem))

    @handles(ValidationError)
    def malformed(request: HttpRequest, problem: ValidationError) -> HttpResponse:
        first = problem.errors[0]
        place = ".".join(str(part) for part in first["loc"] if part not in ("body", "query", "path", "data"))
        rule = str(first["msg"])
        return say(request, 422, f"{place or 'The body'}: {rule}.", field=place, rule=rule)

    @handles(HttpError)
    def http(request: HttpRequest, problem: HttpError) -> HttpResponse:
        cause = problem.__cause__ if isinstance(problem.__cause__, HttpError) else problem
        return say(request, cause.status_code, cause.message)

    @handles(AuthenticationError)
    def stranger(request: HttpRequest, problem: AuthenticationError) -> HttpResponse:
        remedy = 'Send "Authorization: Bearer TOKEN"; make one by: pithline token "NAME".'
        answer = say(request, 401, "This book needs a token here.", remedy=remedy)
        answer["WWW-Authenticate"] = "Bearer"
        return answer

    @handles(Throttled)
    def hasty(request: HttpRequest, problem: Throttled) -> HttpResponse:
        return say(request, 429, "Too many requests.", remedy="Wait a minute, then go on.")

    @handles(RequestDataTooBig)
    def large(request: HttpRequest, problem: RequestDataTooBig) -> HttpResponse:
        return say(request, 413, "The body is too large.", remedy="Send the entry in parts.")

    @handles(Http404)
    def unknown(request: HttpRequest, problem: Http404) -> HttpResponse:
        return say(request, 404, str(problem) or "There is no such thing in this book.")
