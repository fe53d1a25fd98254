"""One book for all tests that type into a workbook: building it takes longest."""

import pytest
from typed_book import TypedBook


@pytest.fixture(scope="session")
def book(tmp_path_factory: pytest.TempPathFactory) -> TypedBook:
    return TypedBook(tmp_path_factory.mktemp("typed") / "typed.xlsx")
