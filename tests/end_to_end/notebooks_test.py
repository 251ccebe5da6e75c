# SPDX-License-Identifier: MIT
"""The notebooks run on fresh results and draw their figures; in git they have no outputs."""
import json
import os
import subprocess
import sys

from support import DAMPER, SOURCE, CommandTest

BOOKS = sorted((SOURCE / "notebooks_out").glob("*.ipynb"))
FIGURES = {"cover", "idle_loop", "idle_run", "isolation", "modes", "orbit", "pull",
           "shuffle_share", "two_discs"}


class Notebooks(CommandTest):
    def make(self, *words):
        return subprocess.run(
            [sys.executable, SOURCE / "tools/make_notebooks", "--figures", "figures", "--pages",
             "pages", "--results", "results", "--no-screenshots", *words],
            cwd=self.folder, capture_output=True, text=True,
            env=dict(os.environ, DAMPER=DAMPER), check=False)

    def test_every_notebook_draws_its_figures_from_fresh_results(self):
        done = self.make()
        self.assertEqual(done.returncode, 0, done.stderr)
        drawn = {p.stem: p.read_bytes() for p in (self.folder / "figures").glob("*.png")}
        self.assertEqual(set(drawn), FIGURES)
        for name, data in drawn.items():
            self.assertTrue(data.startswith(b"\x89PNG"), name)
            self.assertGreater(len(data), 5000, name)
        self.assertLess(sum(map(len, drawn.values())), 1_000_000)
        pages = {p.stem for p in (self.folder / "pages").glob("*.html")}
        self.assertEqual(pages, {book.stem for book in BOOKS})
        self.assertGreaterEqual(len(pages), 7)

    def test_a_name_that_is_no_notebook_is_refused(self):
        done = self.make("idle_runn")
        self.assertNotEqual(done.returncode, 0)
        self.assertIn("there are", done.stderr)

    def test_notebooks_are_kept_without_outputs(self):
        self.assertGreaterEqual(len(BOOKS), 7)
        for book in BOOKS:
            cells = json.loads(book.read_text(encoding="utf-8"))["cells"]
            self.assertEqual(cells[0]["cell_type"], "markdown", book.name)
            for cell in cells:
                if cell["cell_type"] == "code":
                    self.assertEqual(cell["outputs"], [], book.name)
                    self.assertIsNone(cell["execution_count"], book.name)

    def test_the_figures_of_the_docs_are_there_and_small(self):
        kept = {p.stem: p.stat().st_size for p in (SOURCE / "notebooks_out/figures").glob("*.png")}
        self.assertLessEqual(FIGURES, set(kept))
        for text in (SOURCE / "README.md", SOURCE / "notebooks_out/README.md"):
            for word in text.read_text(encoding="utf-8").split("(")[1:]:
                target = word.split(")")[0]
                if target.endswith(".png"):
                    self.assertTrue((text.parent / target).is_file(), target)
        for name in FIGURES:
            self.assertLess(kept[name], 100_000, name)
