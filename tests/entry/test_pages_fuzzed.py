"""Every address of the pages, asked with what nobody expects: no fault of ours, no answer that is not written down."""

import os

import schemathesis
from hypothesis import HealthCheck, given, settings

from airledger.house_book import open_book
from airledger.house_book.checked import faults
from airledger.web.app import application
from tests.books import HOUSE

CHECKS = (schemathesis.checks.not_a_server_error, schemathesis.checks.status_code_conformance)
NAME = "testserver"
"""The name that the library asks by."""
MOST = 200 if os.environ.get("AIRLEDGER_HYPOTHESIS") == "soak" else 12


def test_no_address_has_a_fault_of_ours(tmp_path):
    book = open_book(str(tmp_path / "book.sqlite"))
    known = book.add({"heron.yaml": HOUSE.encode()}, "heron.yaml", "Ana").id
    schema = schemathesis.openapi.from_asgi("/openapi.json", application(book, "Ana", (NAME,)))
    asked = []
    for found in schema.get_all_operations():
        operation = found.ok()

        @given(case=operation.as_strategy())
        @settings(
            max_examples=MOST, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck)
        )
        def check(case):
            if "house_id" in (case.path_parameters or {}) and len(asked) % 3:
                case.path_parameters["house_id"] = known  # two of three ask a house that is there
            asked.append(case.operation.label)
            case.validate_response(case.call(headers={"origin": f"http://{NAME}"}), checks=CHECKS)

        check()
    assert len(set(asked)) > 25
    assert faults(book) == []
    book.store.close()
