"""Saves one design file again and again until it is killed; the test beside it does the killing."""

from __future__ import annotations

import sys
from itertools import count

import trailerlib as tl


def main(path: str) -> None:
    print("ready", flush=True)
    for number in count():
        design = tl.read_design(path)
        tl.save_design(design.replace("battery.capacity", f"{100 + number % 50} Ah"))


if __name__ == "__main__":
    main(sys.argv[1])
