//! A decimal of few places to its digits. Thousands stand in a drawing's paths, in the PDF and in SVG, so they are
//! written without the general machinery of formatting.

/// `whole` over ten to the power of `places`, in plain notation, without zeros at its end.
pub(super) fn decimal(whole: i64, places: usize) -> Decimal {
    let (mut left, mut places) = (whole.unsigned_abs(), places);
    while places > 0 && left.is_multiple_of(10) {
        (left, places) = (left / 10, places - 1);
    }
    let mut found = Decimal { digits: [b'0'; LONGEST], from: LONGEST };
    let mut written = 0;
    while left > 0 || written <= places {
        if written == places && places > 0 {
            found.put(b'.');
        }
        found.put(b'0' + (left % 10) as u8);
        (left, written) = (left / 10, written + 1);
    }
    if whole < 0 {
        found.put(b'-');
    }
    found
}

/// Twenty digits, a point and a sign, with room to spare.
const LONGEST: usize = 40;

/// The digits, without a place of their own in memory.
pub(super) struct Decimal {
    digits: [u8; LONGEST],
    from: usize,
}

impl Decimal {
    fn put(&mut self, sign: u8) {
        self.from -= 1;
        if let Some(place) = self.digits.get_mut(self.from) {
            *place = sign;
        }
    }

    /// As bytes.
    pub(super) fn bytes(&self) -> &[u8] {
        self.digits.get(self.from..).unwrap_or_default()
    }

    /// As text.
    pub(super) fn text(&self) -> &str {
        std::str::from_utf8(self.bytes()).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::decimal;

    #[test]
    fn digits_are_those_of_plain_notation() {
        for (whole, places, written) in [
            (0, 3, "0"),
            (5, 3, "0.005"),
            (-5, 3, "-0.005"),
            (1500, 3, "1.5"),
            (-12_000, 3, "-12"),
            (12_345, 4, "1.2345"),
            (100, 0, "100"),
            (i64::MIN, 4, "-922337203685477.5808"),
        ] {
            assert_eq!(decimal(whole, places).text(), written);
        }
    }
}
