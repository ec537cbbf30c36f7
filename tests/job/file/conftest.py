"""One signed job for all tests of seals."""

import pytest

from tests.job.file.sealed_on_one import Signed


@pytest.fixture(scope="package")
def sealed(tmp_path_factory: pytest.TempPathFactory) -> Signed:
    return Signed(tmp_path_factory.mktemp("sealed"))
