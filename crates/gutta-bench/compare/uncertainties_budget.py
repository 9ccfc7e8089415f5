"""The first-order budget of the plan of ten inputs: microseconds for one."""
import time
from uncertainties import ufloat

S3 = 3**0.5


def triangular(low, mode, high):
    width, peak = high - low, (mode - low) / (high - low)
    return ufloat((low + mode + high) / 3, width * ((1 - peak + peak * peak) / 18) ** 0.5)


def budget():
    b = ufloat(250, 0.02) + ufloat(0, 0.005 / S3) + ufloat(0, 0.005 / S3)
    m = ufloat(11.20, 0.18) + ufloat(0, 0.25 / S3)
    d = ufloat(43.28, 0.27) + triangular(-1.2, 0, 1.2)
    w = 412 * d * (1 - triangular(0, 0.005, 0.02)) / 1000
    f = 95 * ufloat(24.10, 0.45) / 1000
    y = (b * m + 100 * (w + f * ufloat(0.10, 0.05 / S3))) / (b + w + f)
    u = y.std_dev
    return u, sorted((e / u) ** 2 for e in y.error_components().values())


each = []
for _ in range(11):
    begun = time.perf_counter()
    for _ in range(200):
        budget()
    each.append((time.perf_counter() - begun) / 200 * 1e6)
print(budget()[0], sorted(each)[5])
