"""A million draws of the plan of ten inputs by numpy: the median of seven runs."""
import time
import numpy as np

N = 1_000_000


def run(seed):
    r = np.random.default_rng(seed)
    b = r.normal(250, 0.02, N) + r.uniform(-0.005, 0.005, N) + r.uniform(-0.005, 0.005, N)
    m = 11.20 + 0.18 * r.standard_t(4, N) + r.uniform(-0.25, 0.25, N)
    d = 43.28 + 0.27 * r.standard_t(9, N) + r.triangular(-1.2, 0, 1.2, N)
    e = r.triangular(0, 0.005, 0.02, N)
    df = r.normal(24.10, 0.45, N)
    c = r.uniform(0.05, 0.15, N)
    w = 412 * d * (1 - e) / 1000
    f = 95 * df / 1000
    y = (b * m + 100 * (w + f * c)) / (b + w + f)
    held = int(0.95 * N + 0.5)
    tail = N - held
    y = np.partition(y, [tail - 1, held])
    low, high = np.sort(y[:tail]), np.sort(y[held:])
    i = np.argmin(high - low)
    return y.mean(), y.std(ddof=1), low[i], high[i]


seconds = []
for seed in range(7):
    begun = time.perf_counter()
    run(seed)
    seconds.append(time.perf_counter() - begun)
print(*run(1), sorted(seconds)[3])
