"""Writes cts_reference.csv: outside diameter and wall of CTS pipe, from outside this project.

Source: PyPI package `fluids` 1.3.1, module `fluids.piping`, its tables after
ASTM D2241 in copper tube sizes (`SDR…o_D2241CTS`, `SDR…t_D2241CTS`), in mm.
That standard is for PVC pipe. The diameters of CTS are the same for every
material, and its walls follow diameter over ratio, not below 0.060 in.

    pip install fluids==1.3.1
    python cts_reference.py > cts_reference.csv
"""

import fluids
from fluids import piping

VERSION = "1.3.1"
SIZES = {0.5: "1/2", 0.75: "3/4", 1.0: "1", 1.25: "1-1/4", 1.5: "1-1/2", 2.0: "2"}
RATIOS = {"11": "11", "13.5": "135", "17": "17", "21": "21"}


def main():
    """Prints one line per size and ratio that the source holds."""
    if fluids.__version__ != VERSION:
        raise SystemExit(f"fluids {VERSION} is wanted, not {fluids.__version__}")
    print(f"# source: PyPI fluids {VERSION}, fluids.piping, CTS tables after ASTM D2241 (PVC), by cts_reference.py")
    print("size,sdr,od_mm,wall_mm")
    for ratio, name in RATIOS.items():
        columns = (f"NPSDR{name}_D2241CTS", f"SDR{name}o_D2241CTS", f"SDR{name}t_D2241CTS")
        for nominal, od, wall in zip(*(getattr(piping, c) for c in columns), strict=True):
            if nominal in SIZES:
                print(f"{SIZES[nominal]} CTS,{ratio},{od},{wall}")


if __name__ == "__main__":
    main()
