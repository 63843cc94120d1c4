"""Writes ips_reference.csv: outside diameter and wall of IPS pipe, from outside this project.

Source: PyPI package `fluids` 1.3.1, module `fluids.piping`, its tables after
ASTM F2619 in inch-based figures (`SDR…o_F2619IPS`, `SDR…t_F2619IPS`), in mm.

    pip install fluids==1.3.1
    python ips_reference.py > ips_reference.csv
"""

import fluids
from fluids import piping

VERSION = "1.3.1"
SIZES = {0.5: "1/2", 0.75: "3/4", 1.0: "1", 1.25: "1-1/4", 1.5: "1-1/2", 2.0: "2", 3.0: "3", 4.0: "4"}
RATIOS = {"7": "7", "7.3": "73", "9": "9", "11": "11", "13.5": "135", "17": "17"}


def main():
    """Prints one line per size and ratio that the source holds."""
    if fluids.__version__ != VERSION:
        raise SystemExit(f"fluids {VERSION} is wanted, not {fluids.__version__}")
    print(f"# source: PyPI fluids {VERSION}, fluids.piping, tables after ASTM F2619 (inch-based), by ips_reference.py")
    print("size,sdr,od_mm,wall_mm")
    for ratio, name in RATIOS.items():
        columns = (f"NPSDR{name}_F2619", f"SDR{name}o_F2619IPS", f"SDR{name}t_F2619IPS")
        for nominal, od, wall in zip(*(getattr(piping, c) for c in columns), strict=True):
            if nominal in SIZES:
                print(f"{SIZES[nominal]} IPS,{ratio},{od},{wall}")


if __name__ == "__main__":
    main()
