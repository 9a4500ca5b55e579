//! Numbers of a file, which may be anything.
//!
//! In: text. Out: a number within the range asked for, or `None` for everything else (words, infinities, overflow).

use crate::units::Quarters;

/// A decimal number as an exact fraction, `numer / denom`, with at most six decimals kept.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Decimal {
    pub(super) numer: i64,
    pub(super) denom: i64,
}

impl Decimal {
    pub(super) const ONE: Self = Self { numer: 1, denom: 1 };

    /// Digits before the point that are taken; more is not a number of ticks that music needs.
    const MOST_DIGITS: usize = 12;

    /// Parses `12`, `-3`, `0.5`; no exponent, no infinity.
    pub(super) fn parse(text: &str) -> Option<Self> {
        let (negative, digits) = match text.as_bytes() {
            [sign @ (b'-' | b'+'), rest @ ..] => (*sign == b'-', rest),
            rest => (false, rest),
        };
        let mut numer: i64 = 0;
        let mut denom: i64 = 1;
        let mut decimals = None;
        let mut seen = 0;
        for byte in digits {
            match (byte, decimals) {
                (b'.', None) => decimals = Some(0),
                (b'0'..=b'9', Some(6..)) => {}
                (b'0'..=b'9', _) => {
                    if decimals.is_none() && numer != 0 {
                        seen += 1;
                        if seen >= Self::MOST_DIGITS {
                            return None;
                        }
                    }
                    numer = numer * 10 + i64::from(byte - b'0');
                    if let Some(count) = &mut decimals {
                        *count += 1;
                        denom *= 10;
                    }
                }
                _ => return None,
            }
        }
        if digits.iter().all(|b| *b == b'.') {
            return None;
        }
        Some(Self { numer: if negative { -numer } else { numer }, denom })
    }

    /// This many ticks of `divisions` to the quarter; `None` beyond [`Quarters::MAX`] or for no divisions.
    pub(super) fn quarters(self, divisions: Self) -> Option<Quarters> {
        if self.denom == 1 && divisions.denom == 1 {
            return Quarters::new(self.numer, divisions.numer);
        }
        let numer = self.numer.checked_mul(divisions.denom)?;
        let denom = self.denom.checked_mul(divisions.numer)?;
        Quarters::new(numer, denom)
    }

    /// The nearest whole number, halves towards zero.
    pub(super) fn round(self) -> i64 {
        let whole = self.numer / self.denom;
        let rest = self.numer % self.denom;
        if rest.abs() * 2 > self.denom { whole + rest.signum() } else { whole }
    }
}

/// A whole number; decimals are rounded.
pub(super) fn whole(text: &str) -> Option<i64> {
    text.parse().ok().or_else(|| Decimal::parse(text).map(Decimal::round))
}

/// The first number in a text such as `ca. 120`, or the middle of `104-112`.
pub(super) fn first_number(text: &str) -> Option<f64> {
    let mut numbers = text
        .split(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
        .map(|piece| piece.trim_matches(['.', ',']).replace(',', "."))
        .filter(|piece| !piece.is_empty())
        .map(|piece| piece.parse::<f64>().ok());
    let first = numbers.next()??;
    match numbers.next().flatten() {
        Some(second) if text.contains(['-', '–', '—']) => Some(f64::midpoint(first, second)),
        _ => Some(first),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_exact() {
        assert_eq!(Decimal::parse("12"), Some(Decimal { numer: 12, denom: 1 }));
        assert_eq!(Decimal::parse("-0.50"), Some(Decimal { numer: -50, denom: 100 }));
        assert_eq!(Decimal::parse("0.33333333333"), Some(Decimal { numer: 333_333, denom: 1_000_000 }));
        assert_eq!(Decimal::parse("7.").and_then(|d| d.quarters(Decimal::ONE)), Quarters::new(7, 1));
    }

    #[test]
    fn what_is_no_number_is_none() {
        for text in ["", "-", ".", "NaN", "inf", "1e9", "0x10", "1 2", "--1", "1.2.3", "9999999999999"] {
            assert_eq!(Decimal::parse(text), None, "{text}");
        }
        assert_eq!(whole("2.5"), Some(2));
        assert_eq!(whole("NaN"), None);
    }

    #[test]
    fn tempo_numbers_are_found_in_words() {
        assert_eq!(first_number("120"), Some(120.0));
        assert_eq!(first_number("ca. 66,5"), Some(66.5));
        assert_eq!(first_number("104-112"), Some(108.0));
        assert_eq!(first_number("NaN"), None);
    }
}
