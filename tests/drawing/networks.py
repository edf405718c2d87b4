"""Plans for tests of the flow diagram: small ones written out, large ones from a seed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from random import Random

from loopwright.plan.plan import Flow, MaterialPlan, Plan, ProcessPlan

Amounts = Mapping[str, int]


def plan_of(
    processes: Mapping[str, tuple[Amounts, Amounts]],
    demand: Amounts,
    cycles: Mapping[str, Fraction] | None = None,
) -> Plan:
    """A plan of processes name -> (takes, gives) a cycle; what is short comes in."""
    rate = {name: (cycles or {}).get(name, Fraction(1)) for name in processes}
    names = dict.fromkeys(
        material for sides in processes.values() for side in sides for material in side
    )
    zero = Fraction(0)
    materials = []
    for material in names:
        used = sum((rate[p] * t.get(material, 0) for p, (t, _) in processes.items()), zero)
        made = sum((rate[p] * g.get(material, 0) for p, (_, g) in processes.items()), zero)
        wanted = Fraction(demand.get(material, 0))
        over = made - used - wanted
        materials.append(
            MaterialPlan(material, made, max(zero, -over), used, wanted, max(zero, over))
        )
    entries = [
        ProcessPlan(
            process=name,
            station="bench",
            cycles=rate[name],
            stations=rate[name],
            whole=1,
            power=zero,
            effort=zero,
            makes=tuple(Flow(m, rate[name] * n) for m, n in gives.items()),
            uses=tuple(Flow(m, rate[name] * n) for m, n in takes.items()),
        )
        for name, (takes, gives) in processes.items()
    ]
    return Plan(tuple(entries), tuple(materials), (), zero, zero)


def any_plan(seed: int, processes: int) -> Plan:
    """A plant of that many processes: mostly a tree of parts, with by-products and returns."""
    random = Random(seed)
    found: dict[str, tuple[dict[str, int], dict[str, int]]] = {}
    materials: list[str] = []
    for number in range(processes):
        takes = _some(random, materials[-24:-8], number)
        gives = {f"part-{number}": random.randint(1, 20)}
        if random.random() < 0.3:
            gives[f"rest-{number}"] = random.randint(1, 4)
        found[f"make-{number}"] = (takes, gives)
        materials += gives
        if random.random() < 0.12 and number > 4:
            early = f"make-{random.randrange(number)}"
            found[early][0].setdefault(f"part-{number}", 1)
    return plan_of(found, {materials[-1]: 1})


def _some(random: Random, near: Sequence[str], number: int) -> dict[str, int]:
    takes = {name: random.randint(1, 9) for name in near if random.random() < 0.15}
    if not takes or random.random() < 0.5:
        takes[f"raw-{number // 2}"] = random.randint(1, 30)
    return takes
