"""A save that is cut off says nothing of its own: whoever cut it off does."""

import subprocess
import sys
import textwrap

from tests.faults.standing import ROOT

CUT_OFF = """
    import sys
    from pathlib import Path

    from openpyxl import Workbook
    from openpyxl.writer.excel import ExcelWriter
    from pipeline.workbook.saving import save_book

    def cut_off(self):
        self.half = self._archive.open("half", "w")  # as when a part is being written
        self.itself = self  # so that it is not let go at once
        raise KeyboardInterrupt

    ExcelWriter._write_worksheets = cut_off
    try:
        save_book(Workbook(), Path(sys.argv[1]))
    except KeyboardInterrupt:
        print("stopped")
"""


def test_save_book__interrupted_leaves_no_file_and_no_other_word(tmp_path):
    command = [sys.executable, "-c", textwrap.dedent(CUT_OFF), str(tmp_path / "made.xlsx")]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT)
    assert (done.stdout, done.stderr) == ("stopped\n", "")
    assert list(tmp_path.iterdir()) == []
