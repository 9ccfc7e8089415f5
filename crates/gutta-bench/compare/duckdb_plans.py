"""The plans of a table of batches by duckdb, in SQL."""
import sys
import duckdb

duckdb.sql(f"""
copy (
  with a as (
    select *, case when moisture_pct_wb >= target_pct_wb then 0.0::double
      else batch_g * (target_pct_wb - moisture_pct_wb) / (100 - target_pct_wb) end w
    from read_csv('{sys.argv[1]}', types={{
      'batch_g': 'double', 'moisture_pct_wb': 'double', 'target_pct_wb': 'double',
      'drop_mg': 'double', 'drop_u_mg': 'double', 'moisture_u_pct': 'double',
      'flavour_drops_per_10g': 'double', 'flavour_drop_mg': 'double',
      'flavour_density_g_per_ml': 'double'}})
  ), b as (select *, floor(1000 * w / drop_mg + 1e-9) n from a),
  c as (select *, n * drop_mg / 1000 t from b),
  d as (select *, (batch_g * moisture_pct_wb + 100 * t) / (batch_g + t) f from c),
  e as (select *, flavour_drops_per_10g * batch_g * flavour_drop_mg / 1e4 g from d)
  select id, round(w, 3) water_g, round(w / 0.998207, 3) water_ml, n::bigint water_drops,
    round(f, 3) moisture_after_pct_wb,
    round(case when w = 0 then moisture_u_pct else sqrt(
      (batch_g * moisture_u_pct / (batch_g + t)) ** 2
      + ((100 - f) * n * drop_u_mg / 1000 / (batch_g + t)) ** 2
      + ((f - moisture_pct_wb) * sqrt(2) * 0.01 / sqrt(12) / (batch_g + t)) ** 2) end, 4)
      u_moisture_after_pct,
    round(g, 4) flavour_g, round(g / flavour_density_g_per_ml, 4) flavour_ml,
    round(flavour_drops_per_10g * flavour_drop_mg / 10, 3) flavour_g_per_kg
  from e
) to '{sys.argv[2]}' (header)
""")
