# SPDX-License-Identifier: MIT
"""Words on the command line that do not fit: status 2, one message, the nearest word, no file."""
import shutil
import subprocess

from support import DAMPER, SOURCE, CommandTest, damper, environment


class Words(CommandTest):
    def refused(self, words, *texts, env=None):
        done = damper(*words, cwd=self.folder, env=env)
        self.assert_status(done, 2)
        self.assertEqual(done.stdout, "")
        for text in texts:
            self.assertIn(text, done.stderr)
        self.assertEqual([p.name for p in self.folder.iterdir() if p.suffix != ".toml"], [])

    def test_no_word_at_all_shows_the_help_and_is_refused(self):
        self.refused([], "Usage: damper VERB")

    def test_an_unknown_verb_is_refused_with_the_nearest(self):
        self.refused(["rnu"], 'unknown verb "rnu"', "did you mean run?")

    def test_a_verb_like_no_other_is_refused_without_a_guess(self):
        done = damper("xylophone")
        self.assert_status(done, 2)
        self.assertNotIn("did you mean", done.stderr)

    def test_an_unknown_option_is_refused_with_the_nearest(self):
        path = self.scenario()
        self.refused(["run", path, "--tolerence", "1e-6"], "--tolerence",
                     "did you mean --tolerance?")

    def test_an_unknown_option_before_the_verb_is_refused(self):
        self.refused(["--verson"], "did you mean --version?")

    def test_an_option_without_its_value_is_refused(self):
        self.refused(["run", self.scenario(), "--out"], "--out")

    def test_run_without_a_scenario_is_refused(self):
        self.refused(["run"], "SCENARIO", "damper run --help")

    def test_start_and_stop_words_that_do_not_fit_are_refused(self):
        self.refused(["run", "car_tip_in_2", "--start", "periodic"], "only idle has", "To mend")
        self.refused(["run", "car_idle_hot", "--start", "periodical"], "--start")
        self.refused(["run", "car_idle_hot", "--certain", "0"], "0.1 % to 50 %")
        self.refused(["run", "car_idle_hot", "--certain", "tight"], "--certain")
        self.refused(["run", "car_idle_hot", "--longest", "5 s"], "it needs --certain")
        self.refused(["run", "car_idle_hot", "--certain", "2%", "--longest", "5"],
                     "without a unit")

    def test_a_tolerance_that_is_no_number_is_refused(self):
        for text in ("abc", "1e-20", "1", "nan", "-1e-6", "1e-8x", ""):
            with self.subTest(text=text):
                self.refused(["run", self.scenario(), f"--tolerance={text}"], "--tolerance")

    def test_a_solver_that_does_not_exist_is_refused(self):
        self.refused(["run", self.scenario(), "--solver", "generel"], "did you mean general?")

    def test_a_format_that_does_not_exist_is_refused(self):
        self.refused(["run", self.scenario(), "--format", "jsn"], "did you mean json?")
        self.refused(["loop", "car_petrol", "--format", "xml"], "text or json or csv")

    def test_set_without_an_equals_sign_is_refused(self):
        self.refused(["run", self.scenario(), "--set", "disc.damping"], "KEY=VALUE")

    def test_set_takes_one_word_only(self):
        """The scenarios after --set KEY=VALUE stay scenarios."""
        words = ["run", "--set", "nonsense.key=1", self.scenario("one"), self.scenario("two")]
        self.refused(words, "nonsense")
        self.assertNotIn("KEY=VALUE", damper(*words).stderr)

    def test_set_of_an_unknown_key_is_refused_with_the_nearest(self):
        self.refused(["run", self.scenario(), "--set", "conditions.gearbox_oli=80 degC"],
                     "conditions.gearbox_oli", "gearbox_oil")

    def test_set_with_the_wrong_dimension_is_refused(self):
        self.refused(["run", self.scenario(), "--set", "conditions.gearbox_oil=80 mm"],
                     "conditions.gearbox_oil", "80 mm")

    def test_a_scenario_that_is_not_there_is_refused(self):
        self.refused(["run", self.folder / "none.toml"], "none.toml")

    def test_a_misspelt_name_brings_the_nearest_built_in_one(self):
        self.refused(["run", "van_idle_cld"], "no such file", "Did you mean van_idle_cold")
        self.refused(["run", "van_idle_cold.tml"], "Did you mean van_idle_cold")
        self.refused(["show", "vann_diesel"], "Did you mean van_diesel?")
        self.refused(["loop", "van"], "Did you mean van_diesel or van_")
        self.refused(["run", "zzzz"], "no such file", "damper show")

    def test_a_misspelt_path_brings_the_nearest_file_beside_it(self):
        self.scenario("mine")
        self.refused(["run", self.folder / "mnie.toml"], "Did you mean", str(self.folder / "mine.toml"))

    def test_a_description_of_another_kind_is_named_in_one_sentence(self):
        for words, what in ((["run", "van_diesel"], "van_diesel describes a vehicle; damper run needs a scenario"),
                            (["run", "car_no_idle_stage"], "describes a disc; damper run needs a scenario"),
                            (["loop", "light_gear_oil"], "describes an oil; damper loop needs a disc"),
                            (["show", "car_three_stage"], "describes a disc; damper show needs")):
            with self.subTest(words=words):
                self.refused(words, what)
                self.assertNotIn("unknown key", damper(*words).stderr)
        self.assertIn("van_idle_cold", damper("run", "van_diesel").stderr)

    def test_a_result_in_place_of_a_scenario_leads_to_its_page(self):
        result = self.folder / "kept.h5.toml"
        result.write_bytes(b"\x89HDF\r\n\x1a\n" + bytes(100))
        for verb in ("run", "show", "loop"):
            self.refused([verb, result], "is a result", f"damper report {result}")

    def test_set_needs_something_to_change(self):
        self.refused(["show", "--set", "body.mass=1500 kg"], "name one")

    def test_one_entry_of_a_list_that_is_not_there_brings_the_whole_list(self):
        self.refused(["run", self.scenario(), "--set", "engine.cylinder_gains[3]=0"],
                     "engine.cylinder_gains=[1, 1, 1, 0]")

    def test_trade_words_and_short_units_bring_the_key_and_the_unit(self):
        self.refused(["run", self.scenario(), "--set", "disc.stages[0].friction=3 N m"],
                     'Did you mean "hysteresis" or "friction_factor"?')
        self.refused(["run", self.scenario(), "--set", "conditions.gearbox_oil=80 C"],
                     'Did you mean "degC"?')

    def test_a_folder_in_place_of_a_scenario_is_refused(self):
        (self.folder / "d.toml").mkdir()
        self.refused(["run", self.folder / "d.toml"], "d.toml")

    def test_a_result_that_is_not_there_is_refused(self):
        self.refused(["report", self.folder / "none.h5"], "none.h5")

    def test_a_result_that_is_no_result_is_refused(self):
        (self.folder / "bad.h5.toml").write_text("no result")
        self.refused(["report", self.folder / "bad.h5.toml"], "bad.h5.toml")

    def test_two_scenarios_of_one_name_are_refused(self):
        first = self.scenario()
        other = self.folder / "other"
        other.mkdir()
        second = other / first.name
        second.write_bytes(first.read_bytes())
        done = damper("run", first, second, "--out", self.folder / "out", "--quiet")
        self.assertIn("would both write short.h5", done.stderr)
        self.assert_status(done, 2)

    def test_a_models_folder_that_is_not_there_is_refused(self):
        path = self.scenario()
        self.refused(["run", path, "--models", self.folder / "none"], "--models")
        self.refused(["run", path], "DAMPER_MODELS",
                     env=environment(DAMPER_MODELS=str(self.folder / "none")))

    def test_a_copy_of_the_program_takes_the_models_beside_it_or_none(self):
        (self.folder / "bin").mkdir()
        copy = self.folder / "bin/damper"
        shutil.copy(DAMPER, copy)

        def run(*words):
            return subprocess.run([copy, *words], cwd=self.folder, env=environment(), timeout=60,
                                  capture_output=True, text=True)
        for words in (("show",), ("run", "car_idle_hot"), ("diagnose", "x"), ("check",)):
            done = run(*words)
            self.assertEqual(done.returncode, 2, words)
            self.assertIn("no models folder", done.stderr)
            self.assertIn(str(self.folder / "share/damper/models"), done.stderr)
            self.assertNotIn(str(SOURCE), done.stderr)
        for place in (self.folder / "share/damper", self.folder / "bin/share/damper"):
            place.mkdir(parents=True)
            for name in ("models", "scenarios"):
                (place / name).symlink_to(SOURCE / name)
            done = run("show")
            self.assert_status(done, 0)
            self.assertIn("car_idle_hot", done.stdout)
            shutil.rmtree(place)

    def test_a_key_cannot_steer_the_terminal(self):
        done = damper("run", self.scenario(), "--set", "disc.\x1b[31mred=1")
        self.assert_status(done, 2)
        self.assertNotIn("\x1b", done.stderr)

    def test_an_empty_models_folder_means_that_no_part_is_found(self):
        (self.folder / "m").mkdir()
        done = damper("run", self.scenario(), "--models", self.folder / "m")
        self.assert_status(done, 2)
        self.assertIn("car_petrol", done.stderr)
