"""The interface for programs, asked at random by its own description (schemathesis).

    python3 -m qa fuzz            10,000 requests
    python3 -m qa fuzz 500

Half of the requests name a job, a pack and an upload that are there. Every answer must be one that
the description names, hold what it says, and never be a failure of the program.
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any

import hypothesis
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import CHECKS
from schemathesis.specs.openapi import checks as _openapi_checks  # noqa: F401 - names the checks

from qa.services.access import Role
from qa.store.engine import open_engine
from qa.store.migrating import migrate_to_head
from tests.flow.two_firms import TwoFirms, make_two_firms, new_token

ALL = 10_000
REQUESTS_OF_A_TOKEN = 1_000
"""So that none reaches its limit."""
_CHECKS = CHECKS.get_by_names(
    [
        "not_a_server_error",
        "status_code_conformance",
        "content_type_conformance",
        "response_schema_conformance",
    ]
)
_ROLES = (Role.INSTALLER, Role.SUPERVISOR, Role.OFFICE, Role.OWNER)


@schemathesis.serializer("application/offset+octet-stream")
def as_it_is(_context: Any, value: Any) -> bytes:
    """A piece is sent as the bytes that it is."""
    return value if isinstance(value, bytes) else str(value).encode()


class Fuzzer:
    """Asks, and counts what was answered."""

    def __init__(self, firms: TwoFirms) -> None:
        self.answers: Counter[int] = Counter()
        self._firms = firms
        self._tokens: dict[Role, str] = {}
        self._asked = 0

    def run(self, requests: int, *, search: bool = False) -> None:
        """Asks about so many requests, spread over every operation."""
        schema = schemathesis.openapi.from_wsgi("/api/v1/openapi.json", self._firms.app)
        operations = [one.ok() for one in schema.get_all_operations()]
        each = max(1, requests // (2 * len(operations)))
        for operation in operations:
            for mode in (GenerationMode.POSITIVE, GenerationMode.NEGATIVE):
                self._ask(operation, mode, each, search=search)

    def _ask(self, operation: Any, mode: GenerationMode, requests: int, *, search: bool) -> None:
        @settings(
            max_examples=requests, deadline=None, database=None, derandomize=not search,
            phases=[Phase.generate], suppress_health_check=list(HealthCheck),
        )  # fmt: skip
        @given(
            case=operation.as_strategy(generation_mode=mode),
            is_there=st.booleans(),
            role=st.sampled_from(_ROLES),
        )
        def ask(case: Any, is_there: bool, role: Role) -> None:
            if is_there:
                self._name_what_is_there(case, role)
            headers = {
                "Authorization": f"Bearer {self._token(role)}",
                "Accept-Encoding": "identity",
            }
            response = case.call(headers=headers)
            self.answers[response.status_code] += 1
            case.validate_response(response, checks=_CHECKS)

        try:
            ask()
        except hypothesis.errors.Unsatisfiable:  # nothing can be wrong with a request of no part
            assert mode is GenerationMode.NEGATIVE

    def _name_what_is_there(self, case: Any, role: Role) -> None:
        values = {**self._firms.ours.values}
        values["upload"] = values.get(f"{role.value} upload", "none")
        for name in case.path_parameters or {}:
            case.path_parameters[name] = values.get(name, case.path_parameters[name])
        for entry in case.body if isinstance(case.body, list) else [case.body]:
            if isinstance(entry, dict) and "by" in entry:
                entry["by"] = self._firms.ours.actors[role].key

    def _token(self, role: Role) -> str:
        self._asked += 1
        if self._asked % REQUESTS_OF_A_TOKEN == 1:
            self._tokens.clear()
        if role not in self._tokens:
            actor = self._firms.ours.actors[role]
            self._tokens[role] = new_token(self._firms.installation, actor).token
        return self._tokens[role]


def main(requests: int) -> None:
    """Asks, and says what was answered."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        migrated = folder / "migrated.db"
        engine = open_engine(f"sqlite:///{migrated}")
        migrate_to_head(engine)
        engine.dispose()
        (folder / "site").mkdir()
        firms = make_two_firms(folder / "site", migrated)
        fuzzer = Fuzzer(firms)
        fuzzer.run(requests, search=True)
        firms.close()
    told = ", ".join(f"{status}: {count}" for status, count in sorted(fuzzer.answers.items()))
    sys.stdout.write(f"{fuzzer.answers.total()} requests; answers {told}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else ALL)
