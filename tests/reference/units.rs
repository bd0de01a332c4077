//! Units against their defining constants, NIST SP 811 (2008) Appendix B.8, and the `uom` crate.

use handlamp::boat::{Measure, Quantity, Unit};
use uom::si::f64::{Length, Pressure, TemperatureInterval, ThermodynamicTemperature, Time, Volume};
use uom::si::{length, pressure, temperature_interval, thermodynamic_temperature, time, volume};

fn convert(value: f64, from: Unit, to: Unit) -> f64 {
    from.convert(value, to).expect("units of one quantity")
}

fn near(found: f64, wanted: f64, relative: f64) -> bool {
    (found - wanted).abs() <= relative * wanted.abs()
}

/// From, to, value by the defining constants, and as printed in NIST SP 811 B.8 with half a unit of
/// the last digit printed (no print where the table has no such row).
type Factor = (Unit, Unit, f64, Option<(f64, f64)>);

const FACTORS: [Factor; 21] = [
    (Unit::Inch, Unit::Millimetre, 25.4, Some((25.4, 0.0))),
    (Unit::Millimetre, Unit::Inch, 0.03937007874015748, None),
    (
        Unit::UsGallon,
        Unit::Litre,
        3.785411784,
        Some((3.785412, 5e-7)),
    ),
    (
        Unit::UsQuart,
        Unit::Litre,
        0.946352946,
        Some((0.9463529, 5e-8)),
    ),
    (Unit::ImpGallon, Unit::Litre, 4.54609, Some((4.54609, 0.0))),
    (Unit::ImpQuart, Unit::Litre, 1.1365225, None),
    (Unit::ImpPint, Unit::Litre, 0.56826125, None),
    (Unit::Litre, Unit::UsGallon, 0.2641720523581484, None),
    (Unit::Litre, Unit::ImpGallon, 0.2199692482990878, None),
    (Unit::ImpGallon, Unit::UsGallon, 1.200949925504855, None),
    (
        Unit::Psi,
        Unit::Kilopascal,
        6.894757293168361,
        Some((6.894757, 5e-7)),
    ),
    (Unit::Kilopascal, Unit::Psi, 0.14503773773020923, None),
    (Unit::Bar, Unit::Kilopascal, 100.0, Some((100.0, 0.0))),
    (Unit::Bar, Unit::Psi, 14.503773773020922, None),
    (
        Unit::InchMercury,
        Unit::Kilopascal,
        3.386388640341,
        Some((3.386389, 5e-7)),
    ),
    (Unit::Foot, Unit::Millimetre, 304.8, Some((304.8, 0.0))),
    (Unit::Metre, Unit::Foot, 3.280839895013123, None),
    // 550 foot-pounds a second, and 75 kilogram-force metres a second.
    (
        Unit::Horsepower,
        Unit::Kilowatt,
        550.0 * 0.3048 * 0.45359237 * 9.80665 / 1000.0,
        Some((0.7456999, 5e-8)),
    ),
    (
        Unit::MetricHorsepower,
        Unit::Kilowatt,
        75.0 * 9.80665 / 1000.0,
        Some((0.7354988, 5e-8)),
    ),
    // A US gallon is 231 cubic inches and a minute 1/60 h.
    (
        Unit::GallonPerMinute,
        Unit::LitrePerHour,
        231.0 * 0.016387064 * 60.0,
        None,
    ),
    (Unit::LitrePerMinute, Unit::LitrePerHour, 60.0, None),
];

#[test]
fn factors_are_those_of_the_defining_constants() {
    for (from, to, value, _) in FACTORS {
        let found = convert(1.0, from, to);
        assert!(near(found, value, 1e-12), "{from} to {to}: {found}");
    }
}

#[test]
fn factors_are_as_nist_prints_them() {
    for (from, to, _, print) in FACTORS {
        let Some((printed, half_digit)) = print else {
            continue;
        };
        let found = convert(1.0, from, to);
        // Exact rows carry rounding of this machine only.
        let allowed = half_digit + 1e-15 * printed;
        assert!(
            (found - printed).abs() <= allowed,
            "{from} to {to}: {found}"
        );
    }
}

/// US Army FM 55-30 Appendix I prints the superseded 4.545 L and 0.2201.
#[test]
fn superseded_gallons_are_not_copied() {
    assert!((convert(1.0, Unit::ImpGallon, Unit::Litre) - 4.545).abs() > 1e-3);
    assert!((convert(1.0, Unit::Litre, Unit::ImpGallon) - 0.2201).abs() > 1e-4);
}

#[test]
fn inverses_return_the_value() {
    for from in Unit::ALL {
        for to in Unit::ALL
            .iter()
            .filter(|to| to.quantity() == from.quantity())
        {
            if from.quantity() == Quantity::Temperature {
                continue;
            }
            for value in [0.37, 1.0, 7.0, 185.0] {
                let back = convert(convert(value, *from, *to), *to, *from);
                assert!(near(back, value, 1e-15), "{value} {from} by {to}: {back}");
            }
        }
    }
}

#[test]
fn fixed_points_of_the_temperature_scales() {
    let points = [
        (-40.0, -40.0),
        (32.0, 0.0),
        (212.0, 100.0),
        (98.6, 37.0),
        (-459.67, -273.15),
    ];
    for (fahrenheit, celsius) in points {
        let found = convert(fahrenheit, Unit::Fahrenheit, Unit::Celsius);
        assert!(
            (found - celsius).abs() < 1e-12 * 300.0,
            "{fahrenheit} F: {found} C"
        );
        let back = convert(celsius, Unit::Celsius, Unit::Fahrenheit);
        assert!(
            (back - fahrenheit).abs() < 1e-12 * 300.0,
            "{celsius} C: {back} F"
        );
    }
}

#[test]
fn a_rise_is_no_temperature() {
    assert!(near(
        convert(9.0, Unit::FahrenheitRise, Unit::CelsiusRise),
        5.0,
        1e-15
    ));
    assert_eq!(Unit::FahrenheitRise.convert(9.0, Unit::Celsius), None);
    assert_eq!(Unit::Celsius.convert(9.0, Unit::CelsiusRise), None);
    assert!(Measure::parse("9 dF", Unit::Celsius).is_err());
}

#[test]
fn us_and_imperial_gallons_are_never_taken_for_each_other() {
    let parse = |text| Measure::parse(text, Unit::Litre).expect("a volume");
    let us = parse("1 gal");
    let imperial = parse("1 imp-gal");
    assert_eq!(
        (us.unit(), imperial.unit()),
        (Unit::UsGallon, Unit::ImpGallon)
    );
    assert_ne!(us.value_in(Unit::Litre), imperial.value_in(Unit::Litre));
    let names: std::collections::BTreeSet<_> = Unit::ALL.iter().map(|u| u.as_str()).collect();
    assert_eq!(names.len(), Unit::ALL.len());
}

/// An independent library. Its factors are NIST's printed ones, so seven digits agree.
#[test]
fn the_uom_crate_agrees() {
    let litres = |v: Volume| v.get::<volume::liter>();
    let kilopascals = |p: Pressure| p.get::<pressure::kilopascal>();
    let millimetres = |l: Length| l.get::<length::millimeter>();
    let cases = [
        (Unit::UsGallon, litres(Volume::new::<volume::gallon>(1.0))),
        (
            Unit::ImpGallon,
            litres(Volume::new::<volume::gallon_imperial>(1.0)),
        ),
        (
            Unit::UsQuart,
            litres(Volume::new::<volume::quart_liquid>(1.0)),
        ),
        (
            Unit::Millilitre,
            litres(Volume::new::<volume::milliliter>(1.0)),
        ),
        (Unit::Psi, kilopascals(Pressure::new::<pressure::psi>(1.0))),
        (Unit::Bar, kilopascals(Pressure::new::<pressure::bar>(1.0))),
        (
            Unit::InchMercury,
            kilopascals(Pressure::new::<pressure::inch_of_mercury>(1.0)),
        ),
        (Unit::Inch, millimetres(Length::new::<length::inch>(1.0))),
        (
            Unit::Centimetre,
            millimetres(Length::new::<length::centimeter>(1.0)),
        ),
        (
            Unit::Minute,
            Time::new::<time::minute>(1.0).get::<time::second>(),
        ),
        (
            Unit::FahrenheitRise,
            TemperatureInterval::new::<temperature_interval::degree_fahrenheit>(1.0)
                .get::<temperature_interval::degree_celsius>(),
        ),
    ];
    for (unit, theirs) in cases {
        assert!(near(unit.to_base(1.0), theirs, 5e-7), "{unit}: {theirs}");
    }
    for fahrenheit in [-40.0, 32.0, 185.0, 212.0] {
        let theirs = ThermodynamicTemperature::new::<thermodynamic_temperature::degree_fahrenheit>(
            fahrenheit,
        )
        .get::<thermodynamic_temperature::degree_celsius>();
        let ours = convert(fahrenheit, Unit::Fahrenheit, Unit::Celsius);
        assert!((ours - theirs).abs() < 1e-10, "{fahrenheit} F: {theirs}");
    }
}
