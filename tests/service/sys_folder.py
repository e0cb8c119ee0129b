"""A folder shaped as the kernel's /sys, with real files and the links between them."""

from __future__ import annotations

from pathlib import Path

W1 = "28-0000072f3122"
GOOD_W1 = "a4 03 4b 46 7f ff 0c 10 5e : crc=5e YES\na4 03 4b 46 7f ff 0c 10 5e t=58250\n"
"""58.25 C is 932 sixteenths of a degree, 0x03a4, low byte first: the data sheet's table."""
BAD_W1 = GOOD_W1.replace("YES", "NO")
POWER_ON_W1 = "50 05 4b 46 7f ff 0c 10 1c : crc=1c YES\n50 05 4b 46 7f ff 0c 10 1c t=85000\n"
"""The scratchpad after power-on: the data sheet's example of 85 C is 0x0550."""
REAL_85_W1 = POWER_ON_W1.replace("ff 0c", "ff 10")
SHORTED_W1 = "00 00 00 00 00 00 00 00 00 : crc=00 YES\n00 00 00 00 00 00 00 00 00 t=0\n"


class SysFolder:
    """One board with a 1-Wire probe, an amplifier for a thermocouple (iio) and a chip of its own (hwmon)."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.w1 = root / "devices" / "w1_bus_master1" / W1
        self.hwmon = root / "devices" / "platform" / "coretemp.0" / "hwmon" / "hwmon3"
        self.iio = root / "devices" / "platform" / "spi0.0" / "iio:device0"
        for folder in (self.w1, self.hwmon, self.iio):
            folder.mkdir(parents=True)
        self._link("bus/w1/devices", self.w1)
        self._link("class/hwmon", self.hwmon)
        self._link("bus/iio/devices", self.iio)

    def _link(self, under: str, device: Path) -> None:
        folder = self.root / under
        folder.mkdir(parents=True)
        (folder / device.name).symlink_to(device)

    def has_probe(self, text: str = GOOD_W1, millidegrees: str = "58250\n") -> SysFolder:
        (self.w1 / "w1_slave").write_text(text)
        (self.w1 / "temperature").write_text(millidegrees)
        return self

    def has_thermocouple(
        self, raw: str = "233\n", scale: str = "250\n", offset: str | None = None
    ) -> SysFolder:
        """As a MAX6675 or MAX31855 shows itself: a quarter of a degree a step."""
        (self.iio / "name").write_text("max31855\n")
        (self.iio / "in_temp_raw").write_text(raw)
        (self.iio / "in_temp_scale").write_text(scale)
        if offset is not None:
            (self.iio / "in_temp_offset").write_text(offset)
        return self

    def has_chip(self, millidegrees: str = "41000\n", fault: str | None = None) -> SysFolder:
        (self.hwmon / "name").write_text("coretemp\n")
        (self.hwmon / "temp1_input").write_text(millidegrees)
        (self.hwmon / "temp1_label").write_text("Package id 0\n")
        if fault is not None:
            (self.hwmon / "temp1_fault").write_text(fault)
        return self
