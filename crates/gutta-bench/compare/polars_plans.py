"""The plans of a table of batches by polars, its own reader and writer."""
import sys
import polars as pl

t = pl.scan_csv(sys.argv[1])
c = pl.col
b, m, to, d = c("batch_g"), c("moisture_pct_wb"), c("target_pct_wb"), c("drop_mg")
wet = m >= to
w = pl.when(wet).then(0.0).otherwise(b * (to - m) / (100 - to)).alias("water_g")
t = t.with_columns(w)
w = c("water_g")
t = t.with_columns((1000 * w / d + 1e-9).floor().alias("n"))
n = c("n")
t = t.with_columns((n * d / 1000).alias("W"))
W = c("W")
t = t.with_columns(((b * m + 100 * W) / (b + W)).alias("f"))
f = c("f")
ub = 2**0.5 * 0.01 / 12**0.5
u = (
    (b * c("moisture_u_pct") / (b + W)) ** 2
    + ((100 - f) * n * c("drop_u_mg") / 1000 / (b + W)) ** 2
    + ((f - m) * ub / (b + W)) ** 2
).sqrt()
q, df = c("flavour_drops_per_10g"), c("flavour_drop_mg")
g = q * b * df / 1e4
t.select(
    "id",
    w.round(3),
    (w / 0.998207).round(3).alias("water_ml"),
    n.cast(pl.Int64).alias("water_drops"),
    f.round(3).alias("moisture_after_pct_wb"),
    pl.when(wet).then(c("moisture_u_pct")).otherwise(u).round(4).alias("u_moisture_after_pct"),
    g.round(4).alias("flavour_g"),
    (g / c("flavour_density_g_per_ml")).round(4).alias("flavour_ml"),
    (q * df / 10).round(3).alias("flavour_g_per_kg"),
).collect().write_csv(sys.argv[2])
