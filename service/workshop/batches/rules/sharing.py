"""How much of each lot is in what a batch made besides its own lot: pure, and exact."""

from collections.abc import Mapping


def shared(amount_mg: int, pool: Mapping[int, int]) -> dict[int, int]:
    """An amount as parts of what it was taken from, in the shares of the pool: whole milligrams
    that add up, the largest remainders first; never more than there is."""
    total = sum(pool.values())
    wanted = min(amount_mg, total)
    if not wanted:
        return {}
    parts = {key: wanted * mg // total for key, mg in pool.items()}
    short = wanted - sum(parts.values())
    by_remainder = sorted(pool, key=lambda key: (-(wanted * pool[key] % total), key))
    for key in by_remainder[:short]:
        parts[key] += 1
    return parts
