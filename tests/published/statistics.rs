use gutta::measure::{coverage_95, effective_dof, student_quantile};
use gutta_tests::assert_close;
use gutta_tests::reference::table;

fn dof(text: &str) -> f64 {
    match text {
        "inf" => f64::INFINITY,
        number => number.parse().unwrap(),
    }
}

/// Quantiles to twelve digits, by arbitrary-precision arithmetic.
#[test]
fn students_t_to_nine_digits() {
    for row in table("statistics/student-t.csv") {
        let nu = dof(row.text("nu"));
        for coverage in ["68.27", "90", "95", "95.45", "99", "99.73"] {
            let p = 0.5 + coverage.parse::<f64>().unwrap() / 200.0;
            let expected = row.number(&format!("t_{coverage}"));
            assert_close(
                &format!("{row} {coverage} %"),
                student_quantile(p, nu),
                expected,
                row.number("tolerance_rel") * expected,
            );
        }
        let expected = row.number("t_95");
        assert_close(&row.to_string(), coverage_95(nu), expected, 1e-9 * expected);
    }
}

/// JCGM 100:2008, table G.2, as printed.
#[test]
fn students_t_as_the_guide_prints_it() {
    for row in table("statistics/jcgm-2008.csv") {
        let p = 0.5 + row.number("coverage_pct") / 200.0;
        assert_close(
            &row.to_string(),
            student_quantile(p, dof(row.text("nu"))),
            row.number("t_published"),
            row.number("tolerance"),
        );
    }
}

/// JCGM 100:2008, H.1: ν_eff 16.7 is truncated to 16 before t is taken.
#[test]
fn effective_degrees_of_freedom_are_truncated() {
    let t16 = student_quantile(0.975, 16.0);
    assert_close("t(16.75)", coverage_95(16.75), t16, 1e-12);
    assert!(student_quantile(0.975, 17.0) < t16);
}

/// Sandia National Laboratories, ENGR224, as kept in
/// `weighing/combined-uncertainty.csv`.
#[test]
fn welch_and_satterthwaite() {
    let rows = table("weighing/combined-uncertainty.csv");
    let of = |role: &str| {
        let rows = rows.iter();
        rows.filter(|r| r.text("id") == "DOF" && r.text("role") == role)
            .collect::<Vec<_>>()
    };
    let terms: Vec<(f64, f64)> = of("input")
        .iter()
        .map(|r| (r.number("value"), dof(r.text("nu"))))
        .collect();
    let u = terms.iter().map(|(u, _)| u * u).sum::<f64>().sqrt();
    for row in of("result") {
        let got = match row.text("quantity") {
            "combined_u" => u,
            "effective_degrees" => effective_dof(terms.iter().copied()),
            other => panic!("{row}: {other}"),
        };
        assert_close(
            &row.to_string(),
            got,
            row.number("value"),
            row.number("tolerance"),
        );
    }
}
