# The plans of a table of batches, its columns in the order of the benchmark.
BEGIN { FS = OFS = ","; ub = sqrt(2) * 0.01 / sqrt(12) }
NR == 1 {
    print "id,water_g,water_ml,water_drops,moisture_after_pct_wb,u_moisture_after_pct,flavour_g,flavour_ml,flavour_g_per_kg"
    next
}
{
    b = $2; m = $3; t = $4; d = $5
    if (t > m) {
        w = b * (t - m) / (100 - t); n = int(1000 * w / d + 1e-9); W = n * d / 1000
        f = (b * m + 100 * W) / (b + W)
        x = b * $7 / (b + W); y = (100 - f) * n * $6 / 1000 / (b + W); z = (f - m) * ub / (b + W)
        u = sqrt(x * x + y * y + z * z)
    } else { w = 0; n = 0; f = m; u = $7 }
    g = $8 * b * $9 / 1e4
    printf "%s,%.3f,%.3f,%.0f,%.3f,%.4f,%.4f,%.4f,%.3f\n", $1, w, w / 0.998207, n, f, u, g, g / $10, $8 * $9 / 10
}
