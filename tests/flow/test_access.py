"""Every route × every role × own, foreign and nonsense objects, walked from the site's own map.

A route that is added later is walked too. One that `qa.web.access` does not name fails here, and so
does one with a variable that `tests.flow.two_firms` has no value for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from werkzeug.routing import IntegerConverter, Rule

from qa.services.access import MAY, Act, Role
from qa.web.access import ROUTES, SAFE, Anyone, act_of
from tests.flow.two_firms import NOBODY, SECRET, FirmOnSite, TwoFirms, make_two_firms

NONSENSE = "nonsense-that-nobody-made"
NONSENSE_NUMBER = "987654"
TUS = {"Tus-Resumable": "1.0.0", "Upload-Offset": "0"}
PIECE = "application/offset+octet-stream"
NO_OBJECT = frozenset({"edition", "digest"})
"""Variables that name nothing: any word will do there."""
BY_ITS_OBJECT = {"roof.correct": Act.RECORD_WORK}
"""Ways that ask for what their object asks for; the entry that is corrected here is a lot."""
SIGN_IN = "/sign-in"
LOST_TOKEN = (b"open from before the last sign-in", b"Save it now")
"""What is said where the token is missing, or that what was sent is offered once more."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What was answered, read to its end."""

    status_code: int
    location: str
    content: bytes

    @property
    def is_the_sign_in(self) -> bool:
        return self.status_code == 303 and self.location.startswith(SIGN_IN)

    @property
    def is_let_through(self) -> bool:
        """Whatever the form lacked, it was not refused for who asked or what for."""
        return self.status_code < 500 and self.status_code not in (401, 403, 404, 405)

    @property
    def shows_the_other_firm(self) -> bool:
        return SECRET.encode() in self.content


@dataclass(frozen=True, slots=True)
class Way:
    """A route with one of its methods."""

    rule: Rule
    method: str

    @property
    def endpoint(self) -> str:
        return self.rule.endpoint

    @property
    def variables(self) -> tuple[str, ...]:
        return tuple(sorted(self.rule.arguments))

    @property
    def is_of_program(self) -> bool:
        """Whether it is taken with a token, and never with a cookie."""
        return self.endpoint.startswith("api.")

    @property
    def changes(self) -> bool:
        return self.method not in SAFE

    @property
    def roles(self) -> tuple[Role, ...]:
        """Who may take it."""
        return self._may(BY_ITS_OBJECT.get(self.endpoint) or act_of(self.endpoint, self.method))

    @property
    def roles_before_its_object(self) -> tuple[Role, ...]:
        """Who may take it as far as can be told before the object is read."""
        return self._may(act_of(self.endpoint, self.method))

    def _may(self, act: Act | Anyone) -> tuple[Role, ...]:
        return tuple(role for role in Role if act is Anyone.AT_ALL or role in MAY[Act(act)])

    def __str__(self) -> str:
        return f"{self.method} {self.rule.rule}"


@pytest.fixture(scope="module")
def firms(tmp_path_factory: pytest.TempPathFactory, migrated_file: Path) -> Iterator[TwoFirms]:
    """Two firms on one site."""
    firms = make_two_firms(tmp_path_factory.mktemp("two-firms"), migrated_file)
    yield firms
    firms.close()


def ways(firms: TwoFirms) -> list[Way]:
    """Every route with every method that it answers."""
    return [
        Way(rule, method)
        for rule in sorted(firms.app.url_map.iter_rules(), key=str)
        for method in sorted((rule.methods or set()) - {"HEAD", "OPTIONS"})
    ]


def own(firm: FirmOnSite, way: Way, role: Role | None) -> dict[str, str]:
    """What stands in the address for an object of the firm, or of the person themselves."""
    person = (role or Role.INSTALLER).value
    values = {}
    for name in way.variables:
        known = (f"{way.endpoint} {name}", f"{person} {name}", f"installer {name}", name)
        value = next((firm.values[one] for one in known if one in firm.values), None)
        assert value is not None, f"tests.flow.two_firms has no value for {name} of {way}"
        values[name] = value
    return values


def typed(way: Way, values: dict[str, str]) -> dict[str, str | int]:
    """The values as the route's own converters have them."""
    return {
        name: int(value) if isinstance(way.rule._converters[name], IntegerConverter) else value
        for name, value in values.items()
    }


def take(
    firms: TwoFirms,
    way: Way,
    role: Role | None,
    values: dict[str, str],
    *,
    token: bool = True,
    origin: str | None = None,
    follow: bool = False,
    address: str = "127.0.0.1",
) -> Answer:
    """Takes a way with an empty form, and takes back what that has changed."""
    adapter = firms.app.url_map.bind("localhost")
    headers = dict(TUS)
    if token and way.changes:
        headers["X-CSRFToken"] = firms.token(role)
    if way.is_of_program and role is not None:
        headers["Authorization"] = f"Bearer {firms.bearer(role)}"
    if origin is not None:
        headers["Origin"] = origin
    path = adapter.build(way.endpoint, typed(way, values), method=way.method)
    opened = firms.visitor(role).open(
        path,
        method=way.method,
        headers=headers,
        content_type=PIECE if way.method == "PATCH" else None,
        follow_redirects=follow and not way.changes,
        environ_overrides={"REMOTE_ADDR": address},
    )
    with opened as read:
        answer = Answer(read.status_code, read.headers.get("Location", ""), read.data)
    if way.changes and answer.status_code < 400:
        firms.restore()
    return answer


def told(way: Way, role: Role | None, what: str, answer: Answer) -> str:
    who = role.value if role else "nobody"
    return f"{way} ({way.endpoint}) as {who}, {what}: {answer.status_code}"


def test_every_route_is_in_the_table_and_nothing_else(firms: TwoFirms) -> None:
    assert {way.endpoint for way in ways(firms)} - ROUTES.keys() == set()


def test_nobody_is_asked_to_sign_in(firms: TwoFirms) -> None:
    """A page is led to the sign-in; a form is answered with it, so that it can be carried on."""
    wrong = []
    for way in ways(firms):
        answer = take(firms, way, NOBODY, own(firms.ours, way, NOBODY))
        if ROUTES[way.endpoint] is Anyone.AT_ALL:
            right = answer.is_let_through
        else:
            is_told = way.changes or way.is_of_program
            right = answer.status_code == 401 if is_told else answer.is_the_sign_in
        if not right:
            wrong.append(told(way, NOBODY, "own", answer))
    assert not wrong, "\n" + "\n".join(wrong)


@pytest.mark.parametrize("role", Role)
def test_role_decides_over_own_objects(firms: TwoFirms, role: Role) -> None:
    wrong = []
    for way in ways(firms):
        answer = take(firms, way, role, own(firms.ours, way, role))
        if role in way.roles:
            right = answer.is_let_through and (
                not answer.is_the_sign_in or ROUTES[way.endpoint] is Anyone.AT_ALL
                or way.endpoint == "account.sign_out_everywhere"
            )  # fmt: skip
        else:
            right = answer.status_code == 403
        if not right:
            wrong.append(told(way, role, "own", answer))
    assert not wrong, "\n" + "\n".join(wrong)


@pytest.mark.parametrize("role", Role)
def test_foreign_objects_are_not_there(firms: TwoFirms, role: Role) -> None:
    """All of the address is another firm's, then each part of it by itself."""
    wrong = []
    for way in ways(firms):
        if ROUTES[way.endpoint] is Anyone.AT_ALL or not set(way.variables) - NO_OBJECT:
            continue
        mine, theirs = own(firms.ours, way, role), own(firms.theirs, way, role)
        mixed = [{**mine, name: theirs[name]} for name in way.variables]
        for values in [theirs, *(one for one in mixed if one not in (mine, theirs))]:
            answer = take(firms, way, role, values, follow=True)
            expected = 404 if role in way.roles_before_its_object else 403
            if answer.status_code != expected or answer.shows_the_other_firm:
                wrong.append(told(way, role, f"foreign {values}", answer))
    assert not wrong, "\n" + "\n".join(wrong)


def test_nonsense_is_not_there(firms: TwoFirms) -> None:
    """Each part of the address by itself, as whoever may take the way.

    Every way is taken from another network address: from one, few links may be guessed.
    """
    wrong = []
    for number, way in enumerate(ways(firms), 1):
        address = f"198.18.{number // 250}.{number % 250}"
        if not way.roles:
            continue
        role = way.roles[0]
        for name in filter(lambda name: name not in NO_OBJECT, way.variables):
            whole = isinstance(way.rule._converters[name], IntegerConverter)
            nonsense = NONSENSE_NUMBER if whole else NONSENSE
            values = {**own(firms.ours, way, role), name: nonsense}
            answer = take(firms, way, role, values, follow=True, address=address)
            if answer.status_code != 404:
                wrong.append(told(way, role, f"nonsense {name}", answer))
    assert not wrong, "\n" + "\n".join(wrong)


def test_another_firm_shows_nowhere(firms: TwoFirms) -> None:
    wrong = []
    for way in ways(firms):
        for role in way.roles:
            answer = take(firms, way, role, own(firms.ours, way, role))
            if answer.shows_the_other_firm:
                wrong.append(told(way, role, "shows the other firm", answer))
    assert not wrong, "\n" + "\n".join(wrong)


def test_change_without_the_token_is_refused(firms: TwoFirms) -> None:
    wrong = []
    for way in filter(lambda way: way.changes and not way.is_of_program, ways(firms)):
        role = way.roles[0]
        answer = take(firms, way, role, own(firms.ours, way, role), token=False)
        if answer.status_code != 400 or not any(one in answer.content for one in LOST_TOKEN):
            wrong.append(told(way, role, "without the token", answer))
    assert not wrong, "\n" + "\n".join(wrong)


def test_cookie_opens_nothing_of_the_interface(firms: TwoFirms) -> None:
    wrong = []
    for way in filter(lambda way: way.is_of_program, ways(firms)):
        if ROUTES[way.endpoint] is Anyone.AT_ALL:
            continue
        path = firms.app.url_map.bind("localhost").build(
            way.endpoint, typed(way, own(firms.ours, way, Role.OWNER)), method=way.method
        )
        answer = firms.visitor(Role.OWNER).open(path, method=way.method)
        if answer.status_code != 401 or not answer.is_json:
            wrong.append(f"{way}: {answer.status_code}")
    assert not wrong, "\n" + "\n".join(wrong)


def test_token_opens_nothing_of_the_pages(firms: TwoFirms) -> None:
    headers = {"Authorization": f"Bearer {firms.bearer(Role.OWNER)}"}
    answer = firms.visitor(NOBODY).get("/", headers=headers)
    assert answer.status_code == 303


@pytest.mark.parametrize(
    "origin", ["https://elsewhere.example", "null", "http://localhost.example"]
)
def test_change_from_another_site_is_refused(firms: TwoFirms, origin: str) -> None:
    wrong = []
    for way in filter(lambda way: way.changes, ways(firms)):
        role = way.roles[0]
        answer = take(firms, way, role, own(firms.ours, way, role), origin=origin)
        if answer.status_code != 403:
            wrong.append(told(way, role, f"from {origin}", answer))
    assert not wrong, "\n" + "\n".join(wrong)
