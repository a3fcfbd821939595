"""An outside judge of layouts on small sheets.

Reads problems as `tests/it/sheets.rs` writes them, each with what the engine makes of it, and solves them
exactly in another way: every set of parts that one sheet can yield is listed, by cutting it in every way
that the rules allow, and a general integer program (HiGHS) chooses sheets among them. Knows nothing of how
the engine works. Says where they disagree, and ends with 1 if they do:

- no layout is better than the best there is, and no bound excludes it;
- with at most three stages the layout is the best there is.

    sheets.py FILE.json ...
"""

import json
import sys
from functools import lru_cache

import highspy

STAGES = {"one": 1, "two": 2, "three": 3}


def yields(problem, size):
    """The sets of parts that a piece of a size can yield, none within another: counts by kind."""
    kerf, trimming = problem["kerf"], problem["trimming"]
    parts = problem["parts"]
    demand = [part["demand"] for part in parts]
    ways = []
    for kind, part in enumerate(parts):
        lying = (part["w"], part["h"])
        ways += [(kind, lying)] + ([(kind, lying[::-1])] if part["turns"] else [])
    nothing = (0,) * len(parts)

    def largest(sets):
        """Sets that are within no other."""
        kept = []
        for one in sorted(sets, key=sum, reverse=True):
            if not any(all(a <= b for a, b in zip(one, other)) for other in kept):
                kept.append(one)
        return kept

    def sums(axis, most):
        """Extents worth cutting to: what parts side by side need, a kerf between neighbours."""
        reached, new = set(), {0}
        while new:
            start = new.pop()
            for _, way in ways:
                end = start + way[axis] + (kerf if start else 0)
                if end <= most and end not in reached:
                    reached.add(end)
                    new.add(end)
        return sorted(reached)

    @lru_cache(maxsize=None)
    def of(size, axis, rounds):
        """What a piece yields when cuts now separate along an axis and so many rounds are to go."""
        if min(size) <= 0:
            return [nothing]
        found = {nothing}
        for kind, way in ways:
            whole = way == size
            # The trimming cut after the last round takes off one side.
            trimmed = (
                trimming
                and rounds == 0
                and way[1 - axis] == size[1 - axis]
                and way[axis] <= size[axis]
            )
            if whole or trimmed:
                found.add(tuple(int(k == kind) for k in range(len(parts))))
        if rounds > 0:
            # No cut of this round.
            found.update(of(size, 1 - axis, rounds - 1))
            for extent in sums(axis, size[axis]):
                near = tuple(extent if a == axis else s for a, s in enumerate(size))
                far = tuple(s - extent - kerf if a == axis else s for a, s in enumerate(size))
                for one in of(near, 1 - axis, rounds - 1):
                    if one == nothing:
                        continue
                    for other in of(far, axis, rounds):
                        both = zip(one, other, demand)
                        found.add(tuple(min(a + b, d) for a, b, d in both))
        return largest(found)

    axes = {"along-w": [1], "along-h": [0], "any": [0, 1]}[problem["first_cut"]]
    rounds = STAGES[problem["stages"]]
    return largest({one for axis in axes for one in of(size, axis, rounds)})


def best(problem):
    """The least cost or the most profit; None if there are too few sheets."""
    most = problem["most_profit"]
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 0.5)
    columns = []
    for number, sheet in enumerate(problem["sheets"]):
        size = (sheet["w"] - 2 * sheet["trim"], sheet["h"] - 2 * sheet["trim"])
        for counts in yields(problem, size):
            gain = sum(n * part["profit"] for n, part in zip(counts, problem["parts"]))
            columns.append((number, counts, -gain if most else sheet["cost"]))
    for index, (_, _, price) in enumerate(columns):
        solver.addVar(0.0, highspy.kHighsInf)
        solver.changeColCost(index, float(price))
        solver.changeColIntegrality(index, highspy.HighsVarType.kInteger)

    def row(low, high, entries):
        entries = [(i, float(a)) for i, a in entries if a]
        solver.addRow(low, high, len(entries), [i for i, _ in entries], [a for _, a in entries])

    if most:
        row(0.0, 1.0, [(i, 1) for i in range(len(columns))])
    else:
        for kind, part in enumerate(problem["parts"]):
            made = [(i, counts[kind]) for i, (_, counts, _) in enumerate(columns)]
            row(float(part["demand"]), highspy.kHighsInf, made)
        for number, sheet in enumerate(problem["sheets"]):
            if sheet["copies"] is not None:
                used = [(i, 1) for i, (of, _, _) in enumerate(columns) if of == number]
                row(0.0, float(sheet["copies"]), used)
    solver.run()
    if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        return None
    assert solver.getModelStatus() == highspy.HighsModelStatus.kOptimal, solver.getModelStatus()
    # Counted again in integers from what was chosen.
    chosen = [round(x) for x in solver.getSolution().col_value]
    total = sum(n * price for n, (_, _, price) in zip(chosen, columns))
    return -total if most else total


def disagreements(problem):
    value, bound, short = problem["value"], problem["bound"], problem["short"]
    exact = best(problem)
    if exact is None:
        return [] if short else ["there are too few sheets"]
    if short:
        return [f"there are sheets enough, for {exact}"]
    more, less = (value, bound) if problem["most_profit"] else (bound, value)
    said = []
    if more > exact:
        said.append(f"{more} is more than the best there is, {exact}")
    if less < exact:
        said.append(f"{less} is less than the best there is, {exact}")
    if not said and value != exact:
        said.append(f"the layout is worth {value}, the best there is {exact}")
    return said


def main(paths):
    faults = []
    for path in paths:
        with open(path, encoding="utf-8") as file:
            problem = json.load(file)
        faults += [f"{path}: {fault}" for fault in disagreements(problem)]
    print("\n".join(faults) or f"{len(paths)} layouts judged")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
