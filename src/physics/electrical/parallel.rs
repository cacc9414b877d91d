//! Strings in parallel on one current source: how unequal offsets share the current.
//! Turns a total current and the models of the strings into the current of each.

use super::string::StringModel;
use crate::quantity::{Amperes, Volts};

/// Divides `total` among `strings` (ballast resistors counted into their slopes): the current of each, in their order.
///
/// `V = (I + Σ V0/R)/Σ 1/R`, `I_i = (V − V0_i)/R_i`; a string whose offset lies above V carries nothing and is
/// left out of the sums. Valid for slopes above zero. `None` for no strings, a slope of zero or no current.
/// Source: Kirchhoff's current law.
pub fn share_current(total: Amperes, strings: &[StringModel]) -> Option<Vec<Amperes>> {
    if strings.is_empty() || total.value() <= 0.0 || strings.iter().any(|s| s.slope.value() <= 0.0) {
        return None;
    }
    let mut lit: Vec<StringModel> = strings.to_vec();
    let voltage = loop {
        let conductance: f64 = lit.iter().map(|s| 1.0 / s.slope.value()).sum();
        let offsets: Amperes = lit.iter().map(|s| s.offset / s.slope).sum();
        let voltage = Volts::si((total + offsets).value() / conductance);
        let before = lit.len();
        lit.retain(|s| s.offset < voltage);
        if lit.len() == before || lit.is_empty() {
            break voltage;
        }
    };
    Some(strings.iter().map(|s| s.current_at(voltage)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Ohms;

    #[test]
    fn the_shares_add_up() {
        let string = |v0| StringModel { offset: Volts::si(v0), slope: Ohms::si(1.8) };
        for total in [0.01, 0.1, 0.5, 2.0] {
            let share = share_current(Amperes::si(total), &[string(8.0), string(8.1), string(8.4)]).unwrap();
            let sum: Amperes = share.iter().copied().sum();
            assert!((sum.value() - total).abs() < 1e-12, "{total} A became {} A", sum.value());
        }
    }

    #[test]
    fn nothing_to_share_is_none() {
        assert_eq!(share_current(Amperes::si(1.0), &[]), None);
        let hard = StringModel { offset: Volts::si(3.0), slope: Ohms::ZERO };
        assert_eq!(share_current(Amperes::si(1.0), &[hard]), None);
    }
}
