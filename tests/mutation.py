"""Change one thing at a time to the unsafe side and see whether a test notices: ``python tests/mutation.py [WORD...]``.

Every change makes something stronger, a load smaller or a doubt less. The program is copied, the change is made in the
copy, and the tests of strength and of failure modes run there until one fails. What survives is printed; the command
ends with the number of survivors. Words choose the changes whose description has one of them.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
TESTS = [
    "tests/published/test_restraint_arithmetic.py", "tests/unit/test_parts.py", "tests/unit/test_strength_parts.py",
    "tests/unit/test_strength_doctests.py", "tests/unit/test_slack.py", "tests/unit/test_findings.py",
    "tests/unit/test_fastened_into.py", "tests/unit/test_unrated_and_warned.py", "tests/unit/test_review_findings.py",
    "tests/unit/test_sliding.py", "tests/unit/test_shared_restraints.py", "tests/unit/test_bounds.py",
    "tests/published/test_css_annex_13.py", "tests/published/test_gear_prints.py", "tests/published/test_nds_clauses.py",
]  # fmt: skip
SCREW, GEAR = "secure_load/strength/fastenings.py", "secure_load/strength/gear.py"
TIMBER, WORKING = "secure_load/strength/timber.py", "secure_load/strength/working.py"
PIECES, LINES = "secure_load/model/failure/timber_failure_modes.py", "secure_load/model/failure/line_failure_modes.py"
MODE, BUILDER = "secure_load/model/failure/failure_mode.py", "secure_load/model/model_builder.py"

MUTATIONS: list[tuple[str, str, str, str]] = [
    ("a countersunk head as strong as a full one", SCREW, '"en1993-k2-countersunk")', '"en1993-k2")'),
    ("no wet factor on head pull-through", SCREW, "adjusted(through, c_d, c_m)", "adjusted(through, c_d, 1.0)"),
    ("no partial factor on a screw's metal", SCREW, "made_of.fu, steel_divisor(), k_2)", "made_of.fu, 1.0, k_2)"),
    ("no partial factor on a bolt's metal pulled", SCREW, "made_of.fu, steel_divisor()),", "made_of.fu, 1.0),"),
    ("no partial factor on a bolt sheared", SCREW, "steel_divisor(), alpha_v=0.5", "1.0, alpha_v=0.5"),
    ("dry withdrawal in a wet bilge", SCREW, 'factor("screw-wet-and-dry") if service == "wet" else 1.0', "1.0"),
    ("dry lateral value in a wet bilge", SCREW, '= factor("nds-wet-service") if service == "wet" else 1.0\n    c_m_drawn', "= 1.0\n    c_m_drawn"),
    ("short screws counted in full", SCREW, "        shear *= counted / least\n", ""),
    ("a coach screw's tip counted", SCREW, "counted = depth - tip if coach else depth", "counted = depth"),
    ("a coach screw threaded all along", SCREW, "max(min(_lag_thread(row, depth + side_thickness), depth) - tip, 0.0)", "depth"),
    ("end grain holds as side grain drawn", SCREW, 'end_grain_factor(kind, "withdrawal") if screws.end_grain else 1.0', "1.0"),
    ("end grain holds as side grain sheared", SCREW, 'end_grain_factor(kind, "lateral") if screws.end_grain else 1.0', "1.0"),
    ("plywood holds as timber", SCREW, '        kept *= factor("panel-withdrawal-share")\n', ""),
    ("the densest timber without its limit", SCREW, 'return min(strengths.g_ovendry, factor("nds-gravity-greatest"))', "return strengths.g_ovendry"),
    ("heads left out", SCREW, 'pulls["screw heads"] = adjusted', 'breaks["no heads"] = adjusted'),
    ("washers left out", SCREW, "pulls[heads] = bolts.washer_bearing", "breaks[heads] = bolts.washer_bearing"),
    ("a bolt through lead bears as on steel", SCREW, 'lead_alloys()["lead-sb-0"].uts_cast_MPa * 1e6, weight_thickness', "made_of.fu, weight_thickness"),
    ("mean strength for the 5 % one", TIMBER, "return mean * (1.0 - 1.645 *", "return mean * (1.0 - 0.0 *"),
    ("no factor of safety on bending", WORKING, 'factor(f"d245-bending-{kind}")', "1.0"),
    ("no factor of safety on shear", WORKING, 'factor(f"d245-shear-{kind}")', "1.0"),
    ("no factor on crushing", WORKING, 'strengths.comp_perp / factor("d245-comp-perp")', "strengths.comp_perp"),
    ("splitting without its partial factor", WORKING, "working = characteristic * k_mod / (gamma * load)", "working = characteristic * k_mod"),
    ("a cleat does not pry", PIECES, "prying = fitting.height / lever", "prying = 0.0 * fitting.height"),
    ("a cleat pries on its whole depth", PIECES, "lever = 0.5 * depth", "lever = depth"),
    ("short ends count in full", PIECES, "share = row_share(cleat, each, count)", "share = 1.0"),
    ("a cleat splits to one side of a screw only", PIECES, "sides = 2.0 * count", "sides = 4.0 * count"),
    ("all a batten's screws at each end", PIECES, "at_end = count // 2", "at_end = count"),
    ("a batten as a beam held fast at its ends", PIECES, "spread_moment = max(2.0 * span - bearing, span) / 8.0", "spread_moment = span / 12.0"),
    ("a point load bends as a spread one", MODE, "np.maximum(total * spread_moment, row_max(forces @ arms)) / moment", "total * spread_moment / moment"),
    ("a thrust off the middle of a row shared alike", MODE, "1.0 / count + (np.outer(along, ends) / spread if spread > 0.0 else", "1.0 / count + (np.zeros((len(along), 2)) if spread > 0.0 else"),
    ("a batten does not twist", MODE, "shares = share[:, None] * (1.0 / max(count, 1) + outer)", "shares = share[:, None] * (1.0 / max(count, 1) + 0.0 * outer)"),
    ("bolts pulled and sheared apart", MODE, "np.maximum(across / shear + along / (1.4 * pull), np.maximum(along / pull, across / shear))", "np.maximum(along / pull, across / shear)"),
    ("friction's drag left out of screws", MODE, "sliding = drag[:, None] / count", "sliding = 0.0 * drag[:, None]"),
    ("what inspections found is forgotten", MODE, "return demand, ratio / left", "return demand, ratio"),
    ("an eye by its stronger way", LINES, "strength = count * min(each.shear, each.pull)", "strength = count * max(each.shear, each.pull)"),
    ("the knot left out", LINES, "    if end.efficiency < 1.0:\n", "    if end.efficiency < 0.0:\n"),
    ("the shackle left out", LINES, "    if line.shackle is not None:\n", "    if line.shackle is None and line.shackle:\n"),
    ("the eye left out", LINES, "    if line.anchors is not None:\n", "    if line.anchors is None and line.anchors:\n"),
    ("both legs of a tie full", GEAR, "leg = 0.5 * row.loop_tensile_N", "leg = row.loop_tensile_N"),
    ("no safety factor on a line", GEAR, "working = calculated_strength(msl, safety)\n    mark", "working = msl\n    mark"),
    ("tension that is lost is kept", BUILDER, '(1.0 - line.tension_loss if bound == "low" else 1.0)', "1.0"),
    ("the bound of stiffness left out", BUILDER, "    if spread is not None:\n", "    if spread is None and spread:\n"),
    ("the bound of most friction left out", BUILDER, "    if any(a.friction != b.friction or", "    if False and any(a.friction != b.friction or"),
    ("no sudden load through slack", "secure_load/check/response.py", "np.where(gap > 0.0, sudden_load(", "np.where(gap < 0.0, sudden_load("),
    ("slack shortened where stiffness is spread", "secure_load/solver/springs.py", "np.where(slack, self.preload * factor, self.preload)", "self.preload"),
]  # fmt: skip  # noqa: RUF100


def survives(file: str, was: str, becomes: str) -> bool:
    """Whether all tests pass on a copy of the program with one text of one file replaced."""
    source = (ROOT / file).read_text(encoding="utf-8")
    if source.count(was) < 1:
        raise ValueError(f"{file} no longer has: {was}")
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "copy"
        shutil.copytree(
            ROOT, copy, ignore=shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache", ".hypothesis")
        )
        (copy / file).write_text(source.replace(was, becomes), encoding="utf-8")
        tests = [test for test in TESTS if (copy / test).exists()]
        command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *tests]
        return subprocess.run(command, cwd=copy, capture_output=True, check=False).returncode == 0


def main(words: list[str]) -> int:
    """Try the changes whose description has one of the words, or all."""
    survivors = 0
    for what, file, was, becomes in MUTATIONS:
        if words and not any(word in what for word in words):
            continue
        lives = survives(file, was, becomes)
        survivors += lives
        print(f"{'SURVIVES' if lives else 'noticed '}  {what}", flush=True)  # noqa: T201
    print(f"{survivors} survive")  # noqa: T201
    return survivors


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
