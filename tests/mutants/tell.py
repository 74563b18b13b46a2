"""The share of mutants that the tests noticed, with its interval, as a table; and those they did not."""

from __future__ import annotations

import json
import sys
from collections import Counter
from pathlib import Path

from scipy.stats import binomtest


def last_of(file: Path) -> list[dict[str, object]]:
    """The last word on each mutant of a run."""
    rows = (json.loads(line) for line in file.read_text(encoding="utf-8").splitlines())
    return list({row["number"]: row for row in rows}.values())


def line(name: str, results: Counter[str]) -> str:
    """One row of the table."""
    asked, noticed = sum(results.values()), results["killed"] + results["stuck"]
    low, high = binomtest(noticed, asked).proportion_ci(0.95, method="wilson")
    return f"| {name} | {asked} | {noticed} | {noticed / max(asked, 1):.1%} | {low:.1%} to {high:.1%} |"


def main(files: list[Path]) -> None:
    """Print the table, then every mutant that was not noticed."""
    rows = [row for file in files for row in last_of(file)]
    modules: dict[str, Counter[str]] = {}
    for row in rows:
        modules.setdefault(str(row["module"]), Counter())[str(row["result"])] += 1
    print("| module | asked | noticed | share | 95 % |\n|---|---|---|---|---|")
    print(line("all", sum(modules.values(), Counter())))
    for module, results in sorted(modules.items(), key=lambda one: one[1]["killed"] / sum(one[1].values())):
        print(line(module, results))
    print(Counter(str(row["result"]) for row in rows))
    for row in sorted(rows, key=lambda row: str(row["mutant"])):
        if row["result"] not in ("killed", "stuck"):
            print(f"{row['mutant']} [{row['result']}]: {row['change']}")


if __name__ == "__main__":
    main([Path(name) for name in sys.argv[1:]])
