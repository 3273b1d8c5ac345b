"""The calculations at the command line against figures from outside, each with its source; and what is refused."""

from __future__ import annotations

import json
import shlex
from typing import Any

import pytest
from typer.testing import CliRunner

from procforge.reckon.base import Calculation
from procforge.reckon.command import application
from procforge.reckon.registry import CALCULATIONS

APP = application()


def run(line: str) -> tuple[int, dict[str, Any]]:
    """Exit code and JSON of `procforge reckon LINE --json`."""
    result = CliRunner().invoke(APP, [*shlex.split(line), "--json"])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, json.loads(result.stdout)


def value(line: str, name: str) -> float:
    """One figure, in SI."""
    code, found = run(line)
    assert code in (0, 1), found
    return float(next(one["value"] for one in found["figures"] if one["name"] == name))


def words(line: str, name: str) -> str:
    """One answer in words."""
    return str(next(one["text"] for one in run(line)[1]["words"] if one["name"] == name))


#: command line, figure, value in SI, relative tolerance, source
VALUES: tuple[tuple[str, str, float, float, str], ...] = (
    ("proof-load --thread M12 --class 8.8", "load at the proof stress", 48.9e3, 0.002, "ISO 898-1"),
    ("proof-load --thread M16 --class 10.9", "load at the proof stress", 130e3, 0.003, "ISO 898-1"),
    ("proof-load --thread M20 --class 12.9", "load at the proof stress", 238e3, 0.003, "ISO 898-1"),
    ("proof-load --thread M12 --class 4.6", "load at the proof stress", 19.0e3, 0.003, "ISO 898-1"),
    ("proof-load --thread M36 --class 8.8", "stress area", 817e-6, 0.001, "ISO 898-1"),
    ("proof-load --thread 3/4-16 --class 'grade 5'", "stress area", 0.373 * 0.0254**2, 0.002, "ASME B1.1"),
    ("proof-load --thread 3/4-16 --class 'grade 5'", "load at the proof stress", 85 * 0.373 * 4448.2216, 0.002, "SAE J429"),
    ("torque --thread 3/4-16 --preload '25 kip' --nut-factor 0.2", "torque", 3750 * 0.1129848, 0.001, "Shigley example 8-3 (torque from memory)"),
    ("torque --thread 3/4-16 --preload '25 kip' --friction 0.15 --form long", "torque", 3551 * 0.1129848, 0.003, "Shigley example 8-3, long form (from memory)"),
    ("assembly-preload --thread M10x1.25 --class 8.8 --friction 0.12", "assembly preload", 31.6e3, 0.003, "VDI 2230 table"),
    ("assembly-preload --thread M10x1.25 --class 12.9 --friction 0.12", "tightening torque", 87, 0.01, "VDI 2230 table"),
    ("assembly-preload --thread M16x1.5 --class 10.9 --friction 0.10", "assembly preload", 131.6e3, 0.003, "VDI 2230 table"),
    ("assembly-preload --thread M24x2 --class 8.8 --friction 0.14", "tightening torque", 865, 0.01, "VDI 2230 table"),
    ("preload --thread M12 --torque '83.6 N.m' --friction 0.08 --bearing '15.07 mm'", "preload", 60.3e3, 0.002, "VDI 2230, two methods"),
    ("preload --thread M12 --torque '83.6 N.m' --friction 0.16 --bearing '15.75 mm'", "preload", 32.8e3, 0.002, "VDI 2230, two methods"),
    ("flange-torque --thread 1-8", "target torque", 500 * 1.3558179, 0.001, "ASME PCC-1-2013 table 1"),
    ("flange-torque --thread 3/4-10 --coated", "target torque", 160 * 1.3558179, 0.001, "ASME PCC-1-2013 table 1"),
    ("critical-ratio --k 1.4", "critical pressure ratio", 0.5283, 0.0001, "gas dynamics tables"),
    ("relief-area --flow '24270 kg/h' --pressure '670 kPa(a)' --temperature '348 K' --z 0.9 --molar-mass 51 --k 1.11 --back '0 bar(g)'", "area", 3699e-6, 0.002, "API 520 example"),
    ("relief-area --flow '24270 kg/h' --pressure '670 kPa(a)' --temperature '348 K' --z 0.9 --molar-mass 51 --k 1.11 --back '532 kPa(a)'", "area", 4248e-6, 0.01, "API 520 example"),
    ("vent-time --volume '2 m3' --from '10 bar(a)' --to '1.1 bar(a)' --bore '5 mm' --coefficient 0.65 --temperature '300 K' --k 1.4 --molar-mass 28.9647", "time, gas cools as it expands", 1509.5, 0.002, "two methods"),
    ("vent-time --volume '2 m3' --from '10 bar(a)' --to '1.1 bar(a)' --bore '5 mm' --coefficient 0.65 --temperature '300 K' --k 1.4 --molar-mass 28.9647", "time, walls keep the gas warm", 1787.7, 0.002, "two methods"),
    ("vent-time --volume '2 m3' --from '51 bar(a)' --to '1.05 bar(a)' --bore '6 mm' --coefficient 0.85 --temperature '313.15 K' --k 1.31 --molar-mass 16.043", "time, gas cools as it expands", 1209.2, 0.001, "two methods"),
    ("vent-time --volume '2 m3' --from '51 bar(a)' --to '1.05 bar(a)' --bore '6 mm' --coefficient 0.85 --temperature '313.15 K' --k 1.31 --molar-mass 16.043", "time, walls keep the gas warm", 1238.6, 0.001, "two methods"),
    ("end-temperature --k 1.4 --from '100 atm(a)' --to '1.893 atm(a)' --temperature '300 K'", "temperature at the end", 96.6, 0.001, "textbook problem"),
    ("trapped-gas --gas methane --volume '1 m3' --pressure '100 bar(a)' --temperature '300 K'", "compressibility factor Z", 0.8556, 0.02, "CoolProp"),
    ("trapped-gas --gas nitrogen --volume '1 m3' --pressure '100 bar(a)' --temperature '300 K'", "compressibility factor Z", 1.0052, 0.02, "CoolProp"),
    ("trapped-gas --gas hydrogen --volume '1 m3' --pressure '100 bar(a)' --temperature '300 K'", "compressibility factor Z", 1.0598, 0.02, "CoolProp"),
    ("stored-energy --volume '1 m3' --pressure '101.013 bar(a)'", "stored energy, isentropic", 18.47e6, 0.001, "formula of ASME PCC-2"),
    ("stored-energy --volume '1 m3' --pressure '100 bar(g)'", "stored energy, by Brode", 25.0e6, 0.001, "Brode"),
    ("purge --method pressure --start '21 %' --limit '1 %' --low '1 atm(a)' --high '5 atm(a)' --volume '1 m3'", "cycles", 2, 0, "Branan"),
    ("purge --method pressure --start '21 %' --limit '1 %' --low '1 atm(a)' --high '5 atm(a)' --volume '1 m3'", "fraction left", 0.0084, 0.001, "Branan"),
    ("purge --method vacuum --start '21 %' --limit '1 %' --low '0.5 atm(a)' --volume '1 m3'", "cycles", 5, 0, "Branan"),
    ("purge --method sweep --start '21 %' --limit '1 %' --volume '1 m3'", "volumes of the space", 3.04, 0.002, "dilution, ln 21"),
    ("purge --method vacuum --start 0.21 --limit 0.000001 --low '20 mmHg(a)' --high '760 mmHg(a)' --volume '1000 gal(US)' --temperature '75 °F'", "cycles", 4, 0, "Crowl & Louvar (from memory)"),
    ("purge --method pressure --start 0.21 --limit 0.000001 --low '14.7 psi(a)' --high '94.7 psi(a)' --volume '1000 gal(US)' --temperature '75 °F'", "cycles", 7, 0, "Crowl & Louvar (from memory)"),
    ("purge --method pressure --start 0.21 --limit 0.000001 --low '14.7 psi(a)' --high '94.7 psi(a)' --volume '1000 gal(US)' --temperature '75 °F'", "nitrogen", 365 * 0.45359237, 0.01, "Crowl & Louvar (from memory)"),
    ("explosive-limit --gas CH4", "lower explosive limit, vol", 0.044, 0, "IEC 60079-20-1"),
    # Le Chatelier's rule with 5.0, 3.0 and 2.1 % (NFPA 497): 1/(0.8/5 + 0.15/3 + 0.05/2.1)
    ("explosive-limit --gas 'methane=80 %, ethane=15 %, propane=5 %'", "by NFPA 497:2008, vol", 0.04278, 0.001, "Le Chatelier, by hand"),
    ("explosive-limit --gas CO", "lower explosive limit, vol", 0.109, 0, "IEC 60079-20-1"),
    ("saturation --gas propane --pressure '10 bar(a)' --temperature '300 K'", "saturation pressure", 9.98e5, 0.003, "CoolProp"),
    ("pressure-decay --volume '2 L' --first '25.3 kPa(a)' --second '50.6 kPa(a)' --time '70 s'", "leak rate (minus: gas came in)", -2.966e-4, 0.001, "40 CFR 1065.644 inputs"),
    ("cover-force --pressure '0.5 bar(g)' --diameter '400 mm'", "force on the cover", 6283, 0.0001, "definition of pressure"),
    ("gauge --limit '0.1 bar(g)' --lowest '0 bar(g)' --highest '100 bar(g)' --class 1.0", "limit over error", 0.1, 1e-9, "EN 837-1 classes"),
    ("gauge --limit '0.1 bar(g)' --lowest '0 bar(g)' --highest '10 bar(g)' --class 1.0", "limit over error", 1.0, 1e-9, "EN 837-1 classes"),
    ("gauge --limit '0.1 bar(g)' --lowest '0 bar(g)' --highest '1 bar(g)' --class 1.6", "limit over error", 6.25, 1e-9, "EN 837-1 classes"),
    ("adapter --torque '100 N.m' --length '400 mm' --extension '100 mm'", "set the wrench to", 80, 1e-9, "lever rule (from memory)"),
    ("growth --length '300 mm' --rise '10 K(d)'", "growth", 0.0345e-3, 0.001, "handbook (from memory)"),
    ("seat-leakage --fci-class VI --seat '2 in'", "largest leakage, gas", 0.45e-6 / 60, 1e-6, "FCI 70-2"),
    ("seat-leakage --fci-class VI --seat '8 in'", "largest leakage, gas", 6.75e-6 / 60, 1e-6, "FCI 70-2"),
    ("seat-leakage --iso-rate B --dn 100", "largest leakage", 1e-9, 1e-6, "ISO 5208"),
    ("part-life --failed '54 187 216 240 244 335 361 373 375 386' --running '500 500 500 500 500 500 500 500 500 500'", "slope β", 1.7208, 0.001, "NIST handbook 8.4.1.3"),
    ("part-life --failed '54 187 216 240 244 335 361 373 375 386' --running '500 500 500 500 500 500 500 500 500 500'", "scale η", 606.5, 0.001, "NIST handbook 8.4.1.3"),
    ("lift --mass '20 kg'", "limit by hand", 23, 1e-9, "NIOSH load constant (from memory)"),
    ("repeats --values '10.1 10.3 10.2'", "half-width of the mean, 95 %", 4.303 * 0.1 / 3**0.5, 0.001, "Student's t, scipy"),
)  # fmt: skip


@pytest.mark.parametrize(("line", "name", "expected", "tolerance", "source"), VALUES, ids=lambda v: str(v)[:60])
def test_a_value_from_outside(line: str, name: str, expected: float, tolerance: float, source: str) -> None:
    assert value(line, name) == pytest.approx(expected, rel=tolerance, abs=1e-15), source


WORDS: tuple[tuple[str, str, str, str], ...] = (
    ("convert --quantity '25 lbf.ft' --to N.m --digits 3", "25 lbf·ft", "33.9 N·m", "a small threaded cap; common practice, no source"),
    ("convert --quantity '68 °F' --to '°C'", "68 °F", "20 °C", "definition"),
    ("convert --quantity '1 kgf/cm2(g)' --to 'Pa(g)' --digits 8", "1 kgf/cm²(g)", "98066.5 Pa(g)", "definition"),
    ("pattern --bolts 12", "cross pattern", "1 7 4 10 2 8 5 11 3 9 6 12", "ASME PCC-1 table 4"),
    ("pattern --bolts 20", "cross pattern", "1 11 6 16 3 13 8 18 5 15 10 20 2 12 7 17 4 14 9 19", "ASME PCC-1 table 4 (from memory)"),
    ("reading --low 10.00 --high 10.10 --uncertainty 0.02", "accepted from", "10.02 to 10.08", "ISO 14253-1, w = U"),
    ("reading --low 10.00 --high 10.10 --uncertainty 0.02 --band 1.65u", "accepted from", "10.0165 to 10.0835", "ISO 14253-1:2017 (from memory)"),
    ("critical-path --activity A=2 --activity B=3 --activity 'C=2 after=A' --activity 'D=4 after=B' --activity 'E=4 after=C'"
     " --activity 'F=3 after=C' --activity 'G=5 after=D,E' --activity 'H=2 after=F,G'", "length", "15", "General Foundry, Heizer & Render"),
    ("critical-path --activity A=1/2/3 --activity B=2/3/4 --activity 'C=1/2/3 after=A' --activity 'D=2/4/6 after=B' --activity 'E=1/4/7 after=C'"
     " --activity 'F=1/2/9 after=C' --activity 'G=3/4/11 after=D,E' --activity 'H=1/2/3 after=F,G'", "variance of the critical path", "3.111", "General Foundry, Heizer & Render"),
    ("saturation --gas methane --pressure '10 bar(a)' --temperature '300 K'", "state", "gas at that pressure and temperature", "above its critical temperature"),
)  # fmt: skip


@pytest.mark.parametrize(("line", "name", "expected", "source"), WORDS, ids=lambda v: str(v)[:60])
def test_words_from_outside(line: str, name: str, expected: str, source: str) -> None:
    assert words(line, name) == expected, source


#: command line, option named, part of the reason
REFUSED: tuple[tuple[str, str, str], ...] = (
    ("trapped-gas --gas methane --volume '-1 L' --pressure '5 bar(g)'", "", "volume"),
    ("trapped-gas --gas methane --volume '1 L' --pressure '-2 bar(g)'", "pressure", "perfect vacuum"),
    ("trapped-gas --gas methane --volume '1 L' --pressure '-1 bar(a)'", "pressure", "perfect vacuum"),
    ("trapped-gas --gas methane --volume '1 L' --pressure '5 bar'", "pressure", "without a stated reference"),
    ("trapped-gas --gas methane --volume '1 kg' --pressure '5 bar(g)'", "volume", "mass"),
    ("trapped-gas --gas propane --volume '1 L' --pressure '10 bar(a)' --temperature '300 K'", "", "liquid"),
    ("trapped-gas --gas swampgas --volume '1 L' --pressure '5 bar(g)'", "gas", "swampgas"),
    ("trapped-gas --gas methane=60%,methane=40% --volume '1 L' --pressure '5 bar(g)'", "gas", "twice"),
    ("proof-load --thread M12 --class 8.9", "class", "8.9"),
    ("proof-load --thread N12 --class 8.8", "thread", "N12"),
    ("preload --thread M12 --torque '60 J' --friction 0.12", "torque", "energy"),
    ("preload --thread M12 --torque '1,5 N.m' --friction 0.12", "torque", "comma"),
    ("preload --thread M12 --torque '60 N.m'", "friction", "not known"),
    ("preload --thread M12 --torque '60 N.m' --lubricant marmalade", "lubricant", "marmalade"),
    ("preload --thread M12 --torque '60 N.m' --friction 9", "", "friction"),
    ("wrench --lowest '0 N.m' --highest '0 N.m' --target '60 N.m'", "", "highest"),
    ("pattern --bolts 12 --passes '70 30 100'", "passes", "rise"),
    ("pattern --bolts 2.5", "bolts", "whole"),
    ("gauge --limit '0.1 bar(a)' --lowest '0 bar(g)' --highest '1 bar(g)' --class 1", "lowest", "references"),
    ("cover-force --pressure '2 bar(a)' --diameter '400 mm'", "pressure", "absolute"),
    ("convert --quantity '60 N.m' --to J", "to", "do not mix"),
    ("reading --reading 5", "low", "no limit"),
    ("critical-path --activity 'A=2 after=B' --activity 'B=2 after=A'", "activity", ""),
    ("critical-path --activity A", "activity", "no activity"),
    ("crew-schedule --activity 'A=2 by=fitter:2' --crew fitter:1", "activity", "fitter"),
    ("purge --method magic --start '21 %' --limit '1 %' --volume '1 m3'", "method", "magic"),
    ("explosive-limit --gas nitrogen", "gas", "no lower explosive limit"),
    ("lift --mass '38 kg' --people 9", "people", "people"),
    ("stored-energy --pressure '5 bar(g)'", "volume", "must be given"),
)  # fmt: skip


@pytest.mark.parametrize(("line", "option", "reason"), REFUSED, ids=lambda v: str(v)[:60])
def test_a_wrong_input_is_refused_at_its_option(line: str, option: str, reason: str) -> None:
    code, found = run(line)
    assert code == 2
    refused = found["refused"]
    assert refused["option"] == option
    assert reason in refused["message"]
    plain = CliRunner().invoke(APP, shlex.split(line))
    assert plain.exit_code == 2
    assert refused["message"] in plain.stderr


@pytest.mark.parametrize("calculation", CALCULATIONS, ids=lambda c: c.name)
def test_each_example_prints_what_can_be_checked_by_hand(calculation: Calculation) -> None:
    line = f"{calculation.name} {calculation.example}"
    plain = CliRunner().invoke(APP, shlex.split(line))
    assert plain.exit_code in (0, 1), plain.output
    assert calculation.title in plain.stdout
    assert "source" in plain.stdout
    code, found = run(line)
    assert code == plain.exit_code
    for figure in found["figures"]:
        assert figure["formula"]
        assert figure["source"]
        assert figure["inputs"]
        assert figure["printed"] in plain.stdout
    assert found["figures"] or found["words"]


def test_a_judgement_that_fails_is_told_by_the_exit_code() -> None:
    assert run("lift --mass '38 kg' --people 2")[0] == 1
    assert run("gauge --limit '0.1 bar(g)' --lowest '0 bar(g)' --highest '100 bar(g)' --class 1")[0] == 1
    assert run("preload --thread M12 --torque '120 N.m' --class 8.8 --lubricant oiled")[0] == 1
    assert run("preload --thread M12 --torque '60 N.m' --class 8.8 --lubricant oiled")[0] == 0


def test_a_result_in_the_unit_asked_for() -> None:
    result = CliRunner().invoke(
        APP, shlex.split("torque --thread 3/4-16 --preload '25 kip' --nut-factor 0.2 --in lbf.in")
    )
    assert "3750 lbf·in" in result.stdout


def test_check_loads_none_of_it() -> None:
    """Start-up is what people feel: the table of calculations is read by its own command only."""
    import subprocess
    import sys

    code = "import sys, procforge.cli; print([m for m in sys.modules if 'reckon' in m or 'engineering' in m])"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout.strip() == "[]"
