"""The kernel's sensor files, in a folder shaped as /sys: what each kind means, and what must not be believed.

Shapes and units: Documentation/ABI/testing/sysfs-class-hwmon, Documentation/ABI/testing/sysfs-bus-iio and
Documentation/w1/slaves/w1_therm.rst of the Linux kernel. Scratchpads: the DS18B20's data sheet, whose table
has 0x0550 for 85 C, 0x07d0 for 125 C and 0xfc90 for -55 C.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from kitchend.core.quantities import Scale
from kitchend.service.guard import UseError
from kitchend.service.sensor_files import SensorError, celsius_of, found, kind_of
from kitchend.service.sensor_list import sensors_of, show_sensors
from tests.service.sys_folder import BAD_W1, GOOD_W1, POWER_ON_W1, REAL_85_W1, SHORTED_W1, W1, SysFolder


@pytest.fixture
def board(tmp_path: Path) -> SysFolder:
    return SysFolder(tmp_path / "sys")


def w1_text(sixteenths: int) -> str:
    low, high = (sixteenths & 0xFFFF).to_bytes(2, "little")
    pad = f"{low:02x} {high:02x} 4b 46 7f ff 0c 10 5e"
    return f"{pad} : crc=5e YES\n{pad} t={sixteenths * 1000 // 16}\n"


def why(path: Path, last_c: float | None = None) -> str:
    with pytest.raises(SensorError) as caught:
        celsius_of(path, last_c=last_c)
    assert len(str(caught.value).splitlines()) == 1
    return str(caught.value)


def test_a_1_wire_probe_is_read_by_either_file(board: SysFolder) -> None:
    board.has_probe()
    assert celsius_of(board.w1 / "w1_slave") == 58.25
    assert celsius_of(board.w1 / "temperature") == 58.25
    assert celsius_of(board.root / "bus" / "w1" / "devices" / W1 / "temperature") == 58.25


@pytest.mark.parametrize(
    ("sixteenths", "celsius"), [(0x07D0, 125.0), (0x0191, 25.062), (0xFC90 - 0x10000, -55.0)]
)
def test_the_examples_of_the_data_sheet(board: SysFolder, sixteenths: int, celsius: float) -> None:
    board.has_probe(w1_text(sixteenths))
    assert celsius_of(board.w1 / "w1_slave") == celsius


def test_a_wrong_checksum_gives_no_temperature(board: SysFolder) -> None:
    assert "CRC NO" in why(board.has_probe(BAD_W1).w1 / "w1_slave")


def test_a_wire_that_is_shorted_gives_no_temperature_though_its_checksum_is_right(board: SysFolder) -> None:
    assert "short-circuited" in why(board.has_probe(SHORTED_W1).w1 / "w1_slave")


def test_the_85_of_a_probe_that_has_not_measured_is_never_believed(board: SysFolder) -> None:
    board.has_probe(POWER_ON_W1, "85000\n")
    assert "before it has measured" in why(board.w1 / "w1_slave")
    assert "before it has measured" in why(board.w1 / "w1_slave", last_c=84.5)
    assert "before it has measured" in why(board.w1 / "temperature")
    assert "before it has measured" in why(board.w1 / "temperature", last_c=58.0)


def test_a_probe_that_came_to_85_by_itself_is_believed(board: SysFolder) -> None:
    board.has_probe(REAL_85_W1, "85000\n")
    assert celsius_of(board.w1 / "w1_slave", last_c=84.5) == 85.0
    assert celsius_of(board.w1 / "temperature", last_c=84.9) == 85.0
    assert "before it has measured" in why(board.w1 / "w1_slave", last_c=58.0)


def test_a_probe_without_enough_power_is_not_believed(board: SysFolder) -> None:
    assert "too little power" in why(board.has_probe(millidegrees="127937\n").w1 / "temperature")


def test_hwmon_is_in_millidegrees(board: SysFolder) -> None:
    assert celsius_of(board.has_chip("41500\n").hwmon / "temp1_input") == 41.5
    assert celsius_of(board.has_chip("-3000\n", fault="0\n").hwmon / "temp1_input") == -3.0


def test_a_sensor_that_reports_a_fault_gives_no_temperature(board: SysFolder) -> None:
    assert "reports a fault" in why(board.has_chip(fault="1\n").hwmon / "temp1_input")


def test_iio_is_offset_then_scaled(board: SysFolder) -> None:
    assert celsius_of(board.has_thermocouple().iio / "in_temp_raw") == 58.25
    assert celsius_of(board.has_thermocouple("2250\n", "100\n", "-1667.5\n").iio / "in_temp_raw") == 58.25


def test_iio_channels_may_share_a_scale(board: SysFolder) -> None:
    board.has_thermocouple()
    (board.iio / "in_temp1_raw").write_text("400\n")
    assert celsius_of(board.iio / "in_temp1_raw") == 100.0
    (board.iio / "in_temp1_scale").write_text("125\n")
    assert celsius_of(board.iio / "in_temp1_raw") == 50.0


def test_iio_input_is_in_millidegrees(board: SysFolder) -> None:
    (board.iio / "in_temp_input").write_text("58250\n")
    assert celsius_of(board.iio / "in_temp_input") == 58.25


def test_a_thermal_zone_is_in_millidegrees(tmp_path: Path) -> None:
    zone = tmp_path / "thermal_zone0"
    zone.mkdir()
    (zone / "temp").write_text("47236\n")
    assert celsius_of(zone / "temp") == 47.236


def test_a_raw_number_without_a_scale_means_nothing(board: SysFolder) -> None:
    (board.iio / "in_temp_raw").write_text("233\n")
    assert "no scale beside it" in why(board.iio / "in_temp_raw")


def test_any_other_file_is_a_number_as_the_settings_say(tmp_path: Path) -> None:
    path = tmp_path / "probe.txt"
    path.write_text("136.85\n")
    assert celsius_of(path, unit=Scale.FAHRENHEIT) == pytest.approx(58.25)
    path.write_text("5825\n")
    assert celsius_of(path, scale=0.01) == pytest.approx(58.25)


ODD = {
    "empty": ("", "it is empty"),
    "words": ("warm\n", "it holds no number but 'warm'"),
    "nan": ("nan\n", "it holds no number"),
    "two lines": ("1\n2\n", "it holds no number"),
    "a book": ("1" * 5000, "no sensor file does"),
    "no text": ("\udcff\udcfe", "it holds no number"),
}


@pytest.mark.parametrize(("text", "told"), ODD.values(), ids=ODD)
def test_a_file_with_something_else_in_it_is_one_line(tmp_path: Path, text: str, told: str) -> None:
    path = tmp_path / "probe"
    path.write_bytes(text.encode("utf-8", "surrogateescape"))
    assert told in why(path)


def test_half_a_w1_slave_is_one_line(board: SysFolder) -> None:
    assert "not those of a 1-Wire" in why(board.has_probe(GOOD_W1[:30]).w1 / "w1_slave")


def test_a_file_that_is_away_says_that_the_probe_may_be(board: SysFolder) -> None:
    with pytest.raises(SensorError, match=r"no such file or directory; is the probe plugged in\?") as caught:
        celsius_of(board.w1 / "temperature")
    assert caught.value.is_gone


def test_a_pipe_a_folder_and_a_device_are_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "pipe", tmp_path, Path("/dev/zero"), Path("/proc/\0x")):
        assert why(path) in ("it is no file", "there can be no file of this name")


def test_a_star_stands_for_the_number_that_changes(board: SysFolder) -> None:
    board.has_chip()
    pattern = str(board.hwmon.parent / "hwmon*" / "temp1_input")
    assert found(pattern) == board.hwmon / "temp1_input"
    board.hwmon.rename(board.hwmon.with_name("hwmon0"))
    assert found(pattern).parent.name == "hwmon0"
    with pytest.raises(SensorError, match="no such file") as none:
        found(str(board.root / "nothing*" / "temp1_input"))
    assert none.value.is_gone
    other = board.hwmon.with_name("hwmon1")
    other.mkdir()
    (other / "temp1_input").write_text("1\n")
    with pytest.raises(SensorError, match="2 files fit"):
        found(pattern)


def test_the_kinds_are_known_by_their_names(board: SysFolder) -> None:
    kinds = {
        board.w1 / "w1_slave": "1-wire",
        board.w1 / "temperature": "1-wire",
        board.hwmon / "temp1_input": "hwmon",
        board.iio / "in_temp_ambient_raw": "iio raw",
        board.iio / "in_temp_input": "iio",
        board.iio / "in_temp_scale": "",
        Path("/srv/temperature"): "",
        Path("/srv/temp"): "",
        Path("/sys/class/thermal/thermal_zone0/temp"): "zone",
    }
    assert {path: kind_of(path) for path in kinds} == kinds


def test_every_sensor_of_the_board_is_listed_once_probes_first(board: SysFolder) -> None:
    board.has_probe().has_thermocouple().has_chip()
    listed = list(sensors_of(board.root))
    assert [(one.kind, one.celsius, one.name) for one in listed] == [
        ("1-wire", 58.25, W1),
        ("hwmon", 41.0, "coretemp Package id 0"),
        ("iio", 58.25, "max31855"),
    ]
    assert listed[0].path == str(board.root / "bus" / "w1" / "devices" / W1 / "temperature")
    assert listed[1].path == str(board.hwmon.parent / "hwmon*" / "temp1_input")
    assert listed[2].path == str(board.iio.parent / "iio:device*" / "in_temp_raw")
    assert all(celsius_of(found(one.path)) == one.celsius for one in listed)


def test_a_sensor_that_shows_nothing_is_listed_with_why(board: SysFolder) -> None:
    board.has_probe(millidegrees="85000\n").has_chip(fault="1\n")
    told: list[str] = []
    assert show_sensors(board.root, as_json=False, show=told.append) == 0
    assert "before it has measured" in told[0]
    assert "it reports a fault" in told[0]
    assert told[-1].startswith("sensors:\n  - of: NAME\n    path: /")


def test_json_has_them_all(board: SysFolder) -> None:
    told: list[str] = []
    show_sensors(board.has_probe().root, as_json=True, show=told.append)
    (one,) = json.loads(told[0])["sensors"]
    assert (one["kind"], one["celsius"], one["why"]) == ("1-wire", 58.25, "")


def test_a_board_without_sensors_says_so(board: SysFolder) -> None:
    told: list[str] = []
    assert show_sensors(board.root, as_json=False, show=told.append) == 0
    assert told[0].startswith(f"No temperature sensor in {board.root}.")
    with pytest.raises(UseError, match="there is no such folder"):
        show_sensors(board.root / "none", as_json=False, show=told.append)
