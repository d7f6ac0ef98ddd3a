"""What an inventory costs in memory: pieces are let go, and nothing is read whole."""

import sys

import pytest
from benchmarks.inventory import PROJECT, inventory, peak_memory

ROWS = 600_000
# Asked of a million rows: half a gigabyte. The file of these has 60 MB.
MOST = 0.4


@pytest.mark.skipif(sys.platform != "linux", reason="the kernel tells the peak of a process")
@pytest.mark.parametrize("form", ["csv", "parquet"])
def test_memory_stays_small_and_a_former_result_is_not_read(tmp_path, form):
    source, project = tmp_path / f"in.{form}", tmp_path / "project.toml"
    project.write_bytes(PROJECT)
    inventory(source, ROWS)
    target = tmp_path / f"out.{form}"
    # A sparse file of a gigabyte stands for the result of an earlier run.
    with target.open("wb") as file:
        file.truncate(1 << 30)
    assert peak_memory(source, project, target) < MOST
    assert target.stat().st_size < 1 << 28
