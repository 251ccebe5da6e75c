# SPDX-License-Identifier: MIT
"""damper report: the page of a file is the page that its verb leaves, for every kind of file."""
import hashlib
import shutil

import h5py

from support import CommandTest, damper

SHORT = ("--set", "manoeuvre.settle=0.1 s", "--set", "manoeuvre.length=0.2 s",
         "--set", "recording.step=0.5 ms")
SOFT = "disc.stages[0].stiffness"


class Report(CommandTest):
    def assert_pages_agree(self, *verb):
        """Every file that the verb leaves gives the page beside it."""
        out = self.folder / "out"
        done = damper(*verb, "--quiet", "-o", out, cwd=self.folder)
        self.assertIn(done.returncode, (0, 1), done.stderr)
        files = list(out.glob("*.h5"))
        self.assertEqual(len(files), 1)
        again = self.folder / "again.html"
        self.assert_status(damper("report", files[0], "-o", again), 0)
        page = files[0].with_suffix(".html").read_bytes()
        self.assertTrue(again.read_bytes() == page, f"{verb}: another page")
        self.assertGreater(len(page), 5000)
        files[0].rename(self.folder / "last.h5")
        shutil.rmtree(out)
        return self.folder / "last.h5"

    def test_the_page_of_modes_response_and_orbit_comes_again_from_the_file(self):
        self.assert_pages_agree("modes", "car_petrol")
        self.assert_pages_agree("modes", "car_take_up_1_glazed", "--gear", "1")
        self.assert_pages_agree("response", "car_idle_hot")
        self.assert_pages_agree("response", "car_petrol", "--gear", "3", "--friction", "slips")
        self.assert_pages_agree("orbit", "car_idle_hot", "--gear", "3", "--from", "1500 rpm", "--to",
                                "1700 rpm", "--check", "1")

    def test_the_page_of_motions_over_a_key_comes_again_from_the_file(self):
        words = ("orbit", "car_idle_hot", "--vary", f"{SOFT}=times 0.8..1.2", "--speed", "800 rpm")
        file = self.assert_pages_agree(*words, "--check", "2")
        with h5py.File(file) as opened:
            self.assertEqual(opened.attrs["key"], SOFT)
            value = opened["orbit/parameter"]
            self.assertEqual(value.attrs["units"], "1")
            self.assertAlmostEqual(value[0], 1.2, places=12)
            self.assertAlmostEqual(value[-1], 0.8, places=12)
            for speed in opened["orbit/engine_speed"]:
                self.assertAlmostEqual(speed, 83.7758, places=4)

    def test_the_page_of_cover_heat_and_fit_comes_again_from_the_file(self):
        rows = "".join(f"{wear},{5000 - 300 * wear}\n" for wear in (0, 0.5, 1))
        (self.folder / "clamp.csv").write_text("wear [mm],clamp load [N]\n" + rows)
        self.assert_pages_agree("cover", "car_petrol", "--clamp", "clamp.csv")
        self.assert_pages_agree("heat", "van_diesel")
        loop = [k / 10 for k in [*range(0, 41), *range(40, -41, -1), *range(-40, 1)]] * 2
        lines, rest = "", 0.0
        for twist in loop:
            rest = min(max(rest, twist - 0.01), twist + 0.01)
            lines += f"{twist:.3f},{10 * twist + 400 * (twist - rest):.5f}\n"
        (self.folder / "loop.csv").write_text("twist [deg],torque [N m]\n" + lines)
        self.assert_pages_agree("fit", "loop.csv", "--nominal", "car_soft_long_idle")

    def test_the_page_of_every_design_of_a_study_comes_again_from_the_file(self):
        self.assert_pages_agree("vary", "car_idle_hot", *SHORT, "--over", f"{SOFT}=times 0.7..1.4:3",
                                "--over", "conditions.gearbox_oil=20 degC..90 degC:2")
        self.assert_pages_agree("vary", "car_idle_hot", *SHORT, "--over", f"{SOFT}=times 0.7..1.4",
                                "--screen", "--count", "2")
        self.assert_pages_agree("scatter", "car_idle_hot", *SHORT, "--spread",
                                f"{SOFT}=normal(nominal, 10 %)", "--count", "20")

    def test_a_file_of_modes_that_is_not_whole_is_refused_by_name_and_leaves_no_page(self):
        file = self.assert_pages_agree("modes", "car_petrol", "--gear", "1")
        whole = file.read_bytes()
        page = self.folder / "no.html"

        def refused(data, *texts):
            file.write_bytes(data)
            done = damper("report", file, "-o", page)
            self.assert_status(done, 2)
            for text in texts:
                self.assertIn(text, done.stderr)
            self.assertFalse(page.exists())

        def sealed(change):
            image = whole[:whole.rindex(b"\ndamper-sha256 ")]
            file.write_bytes(image)
            with h5py.File(file, "r+") as opened:
                change(opened)
            image = file.read_bytes()
            digest = hashlib.sha256(image).hexdigest()
            return image + f"\ndamper-sha256 {digest}\n".encode()

        refused(whole[:len(whole) // 2], "last.h5", "damaged", "run the command again")
        refused(sealed(lambda f: f["modes/1"].__delitem__("shape")), "last.h5", "dataset shape")
        refused(sealed(lambda f: f.attrs.modify("format_version", 1)), "this program reads version")

        def two_rows(opened):
            del opened["modes/1/shape"]
            opened["modes/1/shape"] = [[1.0], [2.0]]
        refused(sealed(two_rows), "shape: has another size than its axes")
        refused(sealed(lambda f: f.attrs.__delitem__("format")), "attribute format: is missing")
